/** What is made from an open site: computed values, drawings, documents. Pure functions of their arguments. */
import { factOf, factsOfSite } from '../analysis/facts.js';
import { FORMULAS } from '../analysis/formulas.js';
import { factOfImpact } from '../analysis/graph/impact.js';
import { factOfIsolationSets } from '../analysis/graph/isolation-sets.js';
import { nearNames } from '../analysis/near-names.js';
import { filesOf, packValue } from '../documents/pack.js';
import type { Pack, PackFile, PackInput } from '../documents/pack.js';
import { drawIp, drawPower, drawTerminals, drawTopology } from '../drawing/index.js';
import type { Drawing, DrawOptions } from '../drawing/index.js';
import type { Fact, Finding } from '../model/finding.js';
import { buildSite, compareNames } from '../model/site.js';
import type { OpenSite } from './open-site.js';
import type { CheckedSite } from './workbench.js';

export type { Drawing, DrawOptions, LayoutMemory } from '../drawing/index.js';
export type { Pack, PackFile } from '../documents/pack.js';

/**
 * Every computed value, in a stable order. Whoever wants them all wants them once, so they are computed
 * on a copy of the site that keeps no account of what depends on what.
 */
export function factsOf(open: OpenSite): readonly Fact[] {
  return factsOfSite(buildSite(open.site.entries));
}

/** A computed value with the formula behind it, or the names that may have been meant. */
export type ExplainedFact =
  | { readonly kind: 'found'; readonly fact: Fact; readonly formula: string | undefined }
  | { readonly kind: 'unknown'; readonly near: readonly string[] };

/** The value of a name such as `field-1.total-length`: what stands after the last dot names the fact. */
export function explainedFact(open: OpenSite, name: string): ExplainedFact {
  const cut = name.lastIndexOf('.');
  const subject = name.slice(0, Math.max(0, cut));
  const wanted = name.slice(cut + 1);
  const fact = factOf(open.site, subject, wanted) ?? onRequest[wanted]?.(open.site, subject);
  if (fact !== undefined) {
    return { kind: 'found', fact, formula: FORMULAS[fact.fact] };
  }
  const names = new Set(factsOfSite(open.site).map((one) => `${one.subject}.${one.fact}`));
  const ofSubject = [...names].filter((one) => one.slice(0, one.lastIndexOf('.')) === name);
  return { kind: 'unknown', near: ofSubject.length > 0 ? ofSubject : nearNames(name, names) };
}

/** Values that are told when somebody asks for them: among all others they would drown the rest. */
const onRequest: Readonly<Record<string, typeof factOfImpact>> = {
  impact: factOfImpact,
  'isolation-sets': factOfIsolationSets,
};

/** What a drawing shows: something of the whole site, or the terminals of one bus or feed. */
export type DrawingRequest =
  | { readonly view: 'topology' | 'power' | 'ip' }
  | { readonly view: 'terminals'; readonly of: string };

/** A site as a drawing with its findings; undefined where it has no bus or feed of that name. */
export function drawingOf(
  checked: CheckedSite,
  request: DrawingRequest,
  options: DrawOptions = {},
): Drawing | undefined {
  const { site } = checked.open;
  const findings = findingsOf(checked);
  switch (request.view) {
    case 'topology':
      return drawTopology(site, findings, options);
    case 'power':
      return drawPower(site, findings, options);
    case 'ip':
      return drawIp(site, findings, options);
    case 'terminals':
      return drawTerminals(site, request.of, findings, options);
  }
}

/** The buses and feeds whose terminals can be drawn, by name. */
export function runNames(open: OpenSite): readonly string[] {
  return [...open.site.buses.keys(), ...open.site.feeds.keys()].sort(compareNames);
}

/** What the schedules of a pack list: all of the site, or what is new. */
export type PackPhase = NonNullable<PackInput['phase']>;

/** The job pack of a site as files: relative paths with `/`, each once. */
export function packOf(checked: CheckedSite, phase: PackPhase = 'all'): readonly PackFile[] {
  return filesOfPack(packValueOf(checked, phase));
}

/** A pack as files of text. */
export function filesOfPack(pack: Pack): readonly PackFile[] {
  return filesOf(pack);
}

/** The job pack of a site as values, for writers of other forms. */
export function packValueOf(checked: CheckedSite, phase: PackPhase = 'all'): Pack {
  const requests: readonly { readonly name: string; readonly request: DrawingRequest }[] = [
    { name: 'topology', request: { view: 'topology' } },
    { name: 'power', request: { view: 'power' } },
    ...(checked.open.site.networks.size === 0
      ? []
      : [{ name: 'ip', request: { view: 'ip' as const } }]),
    ...runNames(checked.open).map((of) => ({
      name: `terminals-${of}`,
      request: { view: 'terminals' as const, of },
    })),
  ];
  return packValue(checked.open.site, {
    findings: findingsOf(checked),
    on: checked.on,
    phase,
    drawings: requests.flatMap(({ name, request }) => {
      const drawing = drawingOf(checked, request);
      return drawing === undefined ? [] : [{ name, svg: drawing.svg, list: drawing.list }];
    }),
  });
}

function findingsOf(checked: CheckedSite): readonly Finding[] {
  return checked.findings.map(({ finding }) => finding);
}
