/** The phases of a check in this process, at growing sizes. */
import { memoryFiles } from '../src/workbench/files.js';
import { drawingOf, factsOf } from '../src/workbench/outputs.js';
import { Workbench } from '../src/workbench/workbench.js';
import { largeSite, type LargeSite } from '../tests/support/large-site.js';
import { randomFrom } from '../tests/support/random.js';
import { brokenAt, slipPlaces } from './edits.js';
import { growthExponent, median, percentile, shown, table } from './figures.js';

/** Milliseconds of each phase at one size. */
export interface Growth {
  readonly devices: number;
  /** Reading, lowering and linking all declarations. */
  readonly openMs: number;
  /** All rules on the open site, for the first time. */
  readonly rulesMs: number;
  /** All facts of the open site, as `ferrule facts` computes them. */
  readonly factsMs: number;
  /** From one changed character to all findings. */
  readonly editMedianMs: number;
  readonly editP95Ms: number;
  /** The topology as SVG; missing where the size is not drawn in one picture. */
  readonly drawMs: number | undefined;
}

const ON = '2026-11-25';

export interface GrowthOptions {
  readonly sizes: readonly number[];
  readonly edits: number;
  /** How often what happens once in a session is measured; the median counts. */
  readonly rounds: number;
  /** The largest site that is drawn. */
  readonly drawnUpTo: number;
}

export function measureGrowth({ sizes, edits, rounds, drawnUpTo }: GrowthOptions): Growth[] {
  // The first run compiles; what it takes is no matter of the size.
  phases(largeSite({ devices: sizes[0]! }), edits, drawnUpTo);
  return sizes.map((size) => {
    const site = largeSite({ devices: size });
    const all = Array.from({ length: rounds }, () => phases(site, edits, drawnUpTo));
    const middle = (pick: (one: Growth) => number) => median(all.map(pick));
    return {
      devices: site.devices,
      openMs: middle((one) => one.openMs),
      rulesMs: middle((one) => one.rulesMs),
      factsMs: middle((one) => one.factsMs),
      editMedianMs: middle((one) => one.editMedianMs),
      editP95Ms: middle((one) => one.editP95Ms),
      drawMs: site.devices > drawnUpTo ? undefined : middle((one) => one.drawMs!),
    };
  });
}

function phases(large: LargeSite, edits: number, drawnUpTo: number): Growth {
  const workbench = new Workbench(memoryFiles({ ...large.files }));
  const openMs = timed(() => workbench.open(large.root));
  const rulesMs = timed(() => workbench.check(large.root, ON));
  const editMs = editTimes(workbench, large, edits);

  const other = new Workbench(memoryFiles({ ...large.files }));
  const opened = other.open(large.root);
  if ('failed' in opened) {
    throw new Error('The generated site cannot be read.');
  }
  const factsMs = timed(() => factsOf(opened));
  const checked = other.check(large.root, ON)!;
  return {
    devices: large.devices,
    openMs,
    rulesMs,
    factsMs,
    editMedianMs: median(editMs),
    editP95Ms: percentile(editMs, 0.95),
    drawMs:
      large.devices > drawnUpTo ? undefined : timed(() => drawingOf(checked, { view: 'topology' })),
  };
}

/** One character is typed into a device's name where it is landed, and taken out again. */
function editTimes(workbench: Workbench, { root, files }: LargeSite, edits: number): number[] {
  const text = files[root]!;
  const places = slipPlaces(text, 'ferrule');
  const random = randomFrom(1);
  const times: number[] = [];
  for (let edit = 0; edit < edits; edit += 1) {
    const broken = brokenAt(text, random.pick(places));
    for (const [after, isBroken] of [
      [broken, true],
      [text, false],
    ] as const) {
      let errors = 0;
      times.push(
        timed(() => {
          workbench.setText(root, after);
          const { findings } = workbench.check(root, ON)!;
          errors = findings.filter(({ finding }) => finding.severity === 'error').length;
        }),
      );
      if (errors > 0 !== isBroken) {
        throw new Error(`An edit gave ${errors} errors.`);
      }
    }
  }
  return times;
}

function timed(work: () => unknown): number {
  const before = performance.now();
  work();
  return performance.now() - before;
}

export function growthTable(growth: readonly Growth[]): string {
  const rows = growth.map((one) => [
    String(one.devices),
    ...[one.openMs, one.rulesMs, one.factsMs, one.editMedianMs, one.editP95Ms].map(shown),
    shown(one.drawMs ?? Number.NaN),
    shown(one.factsMs / one.openMs),
  ]);
  const head = ['devices', 'open', 'rules', 'facts', 'edit', 'edit p95', 'draw', 'facts/open'];
  return table(head, rows);
}

/** How a phase grows from the smallest to the largest size: 1 is linear. */
export function exponentOf(growth: readonly Growth[], cost: (one: Growth) => number): number {
  const [first, last] = [growth[0]!, growth.at(-1)!];
  return growthExponent(
    { size: first.devices, cost: cost(first) },
    { size: last.devices, cost: cost(last) },
  );
}
