/** Lines that branch: a way or outlet with its inlets, an IP network with its hosts. */
import type { SceneBranch, SceneNetwork } from '../../scene/scene.js';
import type { CellEnd, Ends, StripEnd } from './ends.js';
import type { Pieces } from './pieces.js';
import {
  IP_GUTTER,
  LEFT_GUTTER,
  channelOf,
  gutterStep,
  rightGutter,
  type LabelContent,
  type Slot,
  type Span,
  type Step,
  type StripPin,
  type Wire,
  type WiringOptions,
} from './wiring.js';

export class TrunkWires {
  readonly wires: Wire[] = [];

  constructor(
    private readonly ends: Ends,
    private readonly pieces: Pieces,
    private readonly options: WiringOptions,
  ) {}

  /** A way or outlet and all inlets on it: in each row a trunk with taps. */
  addBranch(branch: SceneBranch): void {
    const source = this.ends.endOf(branch.owner, branch.member, 'feed', undefined);
    const taps = branch.taps
      .map((tap) => this.ends.endOf(tap.owner, tap.member, 'feed', undefined))
      .filter((end) => end !== undefined);
    if (!source || taps.length === 0) return;
    const all = [source, ...taps];
    const cells = all.filter((end): end is CellEnd => end.kind === 'cell');
    const strips = all.filter((end): end is StripEnd => end.kind === 'strip');
    this.wires.push({
      id: branch.id,
      layer: 'branch',
      runId: branch.id,
      segment: undefined,
      from: source.tag,
      to: '',
      flagged: this.options.withFlags,
      pieces: this.options.withFlags
        ? this.flaggedBranch(branch, cells, strips)
        : this.wholeBranch(branch, cells, strips),
    });
  }

  /** An IP network: a trunk beside the left strip. */
  addNetwork(network: SceneNetwork): void {
    const pieces: Step[][] = [];
    const trunk = this.pieces.newRun(IP_GUTTER);
    const labelled = new Set<number>();
    for (const host of network.hosts) {
      const band = this.ends.leftBandOf(host.deviceId);
      if (band === undefined) continue;
      const pin = this.hostPin(network, host.deviceId, host.lan);
      if (!labelled.has(band)) {
        pin.label = {
          pill: { runId: network.id, text: network.mark.name },
          text: '',
          findings: labelled.size === 0 ? this.options.findingsOf({ runId: network.id }) : [],
        };
        labelled.add(band);
      }
      trunk.ends.push({ kind: 'pin', pin });
      pieces.push([
        { kind: 'pin', pin },
        { kind: 'run', run: trunk },
      ]);
    }
    if (pieces.length === 0) return;
    this.wires.push({
      id: network.id,
      layer: 'ip',
      runId: network.id,
      segment: undefined,
      from: '',
      to: '',
      flagged: false,
      pieces: [...pieces, [{ kind: 'run', run: trunk }]],
    });
  }

  /** Trunks of all rows meet in the gutter beside the boards. */
  private wholeBranch(
    branch: SceneBranch,
    cells: readonly CellEnd[],
    strips: readonly StripEnd[],
  ): Step[][] {
    const { pieces: made, ends } = this;
    const steps: Step[][] = [];
    const trunk = made.newRun(rightGutter(ends.grid));
    for (const end of strips) {
      if (end.strip === 'right') steps.push(made.tapOfRun(trunk, end, branch.id));
    }
    let crossing: Span | undefined;
    for (const group of grouped(cells, (end) => end.cell.row)) {
      const span = this.trunkOver(branch, group, steps);
      if (!span) continue;
      crossing ??= span;
      made.joinSpan(span, trunk);
      const last = extremeSlot(span, 1);
      if (last) {
        span.label = { wireId: branch.id, slot: last, direction: 1, content: nameOf(branch) };
      }
      steps.push([{ kind: 'span', span }]);
    }
    const left = strips.filter((end) => end.strip === 'left');
    const firstLeft = left[0];
    if (firstLeft) {
      if (!crossing) {
        crossing = made.newSpan(channelOf(ends.firstRowOf(firstLeft.band), 'feed'));
        made.joinSpan(crossing, trunk);
        steps.push([{ kind: 'span', span: crossing }]);
      }
      const leftTrunk = made.newRun(LEFT_GUTTER);
      made.joinSpan(crossing, leftTrunk);
      for (const end of left) steps.push(made.tapOfRun(leftTrunk, end, branch.id));
      steps.push([{ kind: 'run', run: leftTrunk }]);
    }
    return [...steps, [{ kind: 'run', run: trunk }]];
  }

  /** On large sites each row of a slice names its source instead of being joined to it. */
  private flaggedBranch(
    branch: SceneBranch,
    cells: readonly CellEnd[],
    strips: readonly StripEnd[],
  ): Step[][] {
    const { pieces: made, ends } = this;
    const steps: Step[][] = [];
    for (const group of grouped(cells, (end) => end.cell.row * 1000 + end.cell.slice)) {
      const span = this.trunkOver(branch, group, steps);
      const first = span && extremeSlot(span, -1);
      if (!span || !first) continue;
      span.ends.push({ kind: 'zone', slot: first, direction: -1 });
      span.label = { wireId: branch.id, slot: first, direction: -1, content: nameOf(branch) };
      steps.push([{ kind: 'span', span }]);
    }
    for (const end of strips) {
      if (end.strip === 'right') continue;
      const pin = made.newPin(end, branch.id);
      pin.label = nameOf(branch);
      pin.labelWireId = branch.id;
      steps.push([{ kind: 'pin', pin }]);
    }
    const right = strips.filter((end) => end.strip === 'right');
    if (right.length > 1) {
      const trunk = made.newRun(rightGutter(ends.grid));
      for (const end of right) steps.push(made.tapOfRun(trunk, end, branch.id));
      steps.push([{ kind: 'run', run: trunk }]);
    } else {
      // The source shows its pin although its lines are flags.
      for (const end of right) steps.push([{ kind: 'pin', pin: made.newPin(end, branch.id) }]);
    }
    return steps;
  }

  /** A span with one tap for each end, in the channel above their row. */
  private trunkOver(
    branch: SceneBranch,
    group: readonly CellEnd[],
    steps: Step[][],
  ): Span | undefined {
    const first = group[0];
    if (!first) return undefined;
    const { grid } = this.ends;
    const span = this.pieces.newSpan(channelOf(first.cell.row, 'feed'));
    for (const end of group) {
      const slot = this.pieces.newSlot(end, branch.id);
      this.pieces.lean(slot, gutterStep(grid, rightGutter(grid)) - this.ends.stepOf(end));
      span.ends.push({ kind: 'slot', slot });
      steps.push([
        { kind: 'slot', slot, ownerId: end.ownerId },
        { kind: 'span', span },
      ]);
    }
    return span;
  }

  private hostPin(network: SceneNetwork, boxId: string, member: string): StripPin {
    const pin: StripPin = {
      kind: 'pin',
      boxId,
      strip: 'left',
      edge: 'outer',
      member,
      runId: network.id,
      landing: undefined,
      label: undefined,
      labelWireId: network.id,
    };
    this.pieces.pins.push(pin);
    return pin;
  }
}

function nameOf(branch: SceneBranch): LabelContent {
  return { pill: undefined, text: branch.mark.name, findings: [] };
}

function grouped<Item>(items: readonly Item[], keyOf: (item: Item) => number): Item[][] {
  const groups = new Map<number, Item[]>();
  for (const item of items) {
    const key = keyOf(item);
    const list = groups.get(key);
    if (list) list.push(item);
    else groups.set(key, [item]);
  }
  return [...groups.values()];
}

/** The slot of a span that stands furthest to one side. */
function extremeSlot(span: Span, direction: -1 | 1): Slot | undefined {
  let best: Slot | undefined;
  for (const end of span.ends) {
    if (end.kind !== 'slot') continue;
    const { cell } = end.slot;
    const further = best && (cell.slice - best.cell.slice || cell.column - best.cell.column);
    if (further === undefined || direction * further > 0) best = end.slot;
  }
  return best;
}
