/** Two versions of a site as one review: what changed, what follows, and what is left to do on site. */
import type { Finding } from '../model/finding.js';
import { buildSite } from '../model/site.js';
import type { Site } from '../model/site.js';
import { CLASS_ORDER, changesBetween, type Changes } from './changes.js';
import type { ChangeClass } from './classes.js';
import {
  changedWork,
  effectsBetween,
  findingChanges,
  materialChanges,
  type ChangedWork,
  type Effect,
  type FindingChanges,
  type MaterialChange,
} from './consequences.js';

export interface Version {
  readonly site: Site;
  readonly findings: readonly Finding[];
}

export interface Review extends Changes {
  /** The strictest class; `none` where nothing but the text may differ. */
  readonly class: ChangeClass | 'none';
  readonly counts: Readonly<Record<ChangeClass, number>>;
  readonly effects: readonly Effect[];
  readonly findings: FindingChanges;
  readonly material: readonly MaterialChange[];
  readonly work: ChangedWork;
}

export function reviewOf(before: Version, after: Version): Review {
  // A copy that keeps no account of what depends on what: both are gone through once, as a whole.
  const base = buildSite(before.site.entries);
  const head = buildSite(after.site.entries);
  const { renames, changes } = changesBetween(base, head);
  const effects = effectsBetween(base, head, { renames, changes });
  const counts = Object.fromEntries(
    CLASS_ORDER.map((name) => [name, changes.filter((one) => one.class === name).length]),
  ) as Record<ChangeClass, number>;
  return {
    class: strictest(changes, renames, effects),
    counts,
    renames,
    changes,
    effects,
    findings: findingChanges(before.findings, after.findings, renames),
    material: materialChanges(base, head),
    work: changedWork(base, head, changes),
  };
}

/** Whether the two versions are the same site with the same findings. */
export function isUnchanged({ class: strictestClass, findings }: Review): boolean {
  return strictestClass === 'none' && findings.fresh.length === 0 && findings.resolved.length === 0;
}

/** A limit that is crossed makes a change of amounts alone a change of the wiring: somebody must act. */
function strictest(
  changes: Changes['changes'],
  renames: Changes['renames'],
  effects: readonly Effect[],
): Review['class'] {
  const found: ChangeClass[] = [
    ...changes.slice(0, 1).map((one) => one.class),
    ...(effects.some((one) => one.crossing === 'broken') ? (['rewire'] as const) : []),
    ...(renames.length > 0 ? (['documentation'] as const) : []),
  ];
  return CLASS_ORDER.find((name) => found.includes(name)) ?? 'none';
}
