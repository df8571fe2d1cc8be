import type { TerminalsScene } from '../../scene/scene.js';
import { COLOUR_NAMES, TEXTS } from '../../texts.js';
import type {
  PlannedCore,
  PlannedCover,
  PlannedEarth,
  PlannedTermination,
  TerminalsLegendKey,
} from './plan.js';

/** Only what the picture shows is explained: first the colours of the cores, in the order of IEC 60757. */
export function legendOf(
  scene: TerminalsScene,
  drawn: {
    readonly cores: readonly PlannedCore[];
    readonly terminations: readonly PlannedTermination[];
    readonly earths: readonly PlannedEarth[];
    readonly covers: readonly PlannedCover[];
  },
): { readonly key: TerminalsLegendKey; readonly text: string }[] {
  const items: { key: TerminalsLegendKey; text: string }[] = [];
  const codes = new Set(drawn.cores.map((core) => baseColour(core.colour)));
  for (const [code, name] of Object.entries(COLOUR_NAMES)) {
    if (codes.has(code)) items.push({ key: `colour-${code}`, text: `${code} ${name}` });
  }
  const add = (key: keyof typeof TEXTS.legendItems & TerminalsLegendKey, isShown: boolean) => {
    if (isShown) items.push({ key, text: TEXTS.legendItems[key] });
  };
  add(
    'screen',
    drawn.cores.some((core) => core.kind === 'screen'),
  );
  add('cable', scene.cables.length > 0);
  add(
    'fitted',
    drawn.terminations.some((one) => one.state === 'fitted'),
  );
  add(
    'missing',
    drawn.terminations.some((one) => one.state === 'missing'),
  );
  add('bonded', drawn.earths.length > 0);
  add(
    'cover',
    drawn.covers.some((one) => one.state === 'fitted'),
  );
  add(
    'coverMissing',
    drawn.covers.some((one) => one.state === 'missing'),
  );
  add(
    'spare',
    drawn.cores.some((core) => core.caps.length > 0),
  );
  add(
    'coreMissing',
    drawn.cores.some((core) => core.kind === 'missing'),
  );
  add(
    'estimated',
    scene.cables.some((cable) => cable.length?.estimated === true),
  );
  for (const severity of ['error', 'warning', 'hint'] as const) {
    add(
      severity,
      scene.findings.some((finding) => finding.severity === severity),
    );
  }
  return items;
}

/** `BK(2)` is the second black core of a cable. */
export function baseColour(colour: string): string {
  return colour.replace(/\(\d+\)$/u, '');
}
