/** What follows from the changes: computed values, findings, material, and the work that is left to do. */
import { factsOfSite } from '../analysis/facts.js';
import { isolationOfWork } from '../analysis/graph/isolation.js';
import { cableLines, equipmentLines } from '../documents/material/quantities.js';
import type { Fact, Finding } from '../model/finding.js';
import { compareNames } from '../model/site.js';
import type { Site } from '../model/site.js';
import type { Change } from './changes.js';
import type { Rename } from './renames.js';

/** A computed value that is not as it was. */
export interface Effect {
  readonly subject: string;
  readonly fact: string;
  readonly unit: string;
  /** Undefined where there was no such value. */
  readonly before: Fact['value'] | undefined;
  readonly after: Fact['value'] | undefined;
  /** The limit of the later version, else of the earlier one. */
  readonly limit: number | undefined;
  /** Whether its limit was crossed: now broken, or now kept. */
  readonly crossing: 'broken' | 'kept' | undefined;
  /** Changes of the same device or run, or of what it is landed on: `feed F-1`. */
  readonly causes: readonly string[];
}

export interface ReviewedFinding {
  readonly rule: string;
  readonly severity: Finding['severity'];
  readonly subject: string;
  readonly what: string;
  readonly accepted: boolean;
}

export interface FindingChanges {
  readonly fresh: readonly ReviewedFinding[];
  readonly resolved: readonly ReviewedFinding[];
  /** There before and after. */
  readonly unchanged: number;
}

/** An amount to order that is not as it was. */
export interface MaterialChange {
  readonly what: 'cable' | 'reels' | 'equipment';
  readonly name: string;
  readonly unit: 'm' | '';
  readonly before: number;
  readonly after: number;
}

/** What the difference alone asks of the people on site. */
export interface ChangedWork {
  /** Devices whose wiring or supply is touched, in the later version. */
  readonly devices: readonly string[];
  readonly rooms: readonly string[];
  /** Boards in which something changes: for the licensed electrician. */
  readonly boards: readonly string[];
  /** Points that are opened and locked before these enclosures are opened. */
  readonly isolate: readonly string[];
  /** Sources that no lockable point outside keeps away, and devices whose supply nobody states. */
  readonly unlockable: readonly string[];
  /** Devices that are taken away: isolated by the earlier version's points. */
  readonly removed: readonly string[];
}

/** Both lists in the order of the later version's facts, those that crossed a limit first. */
export function effectsBetween(
  base: Site,
  head: Site,
  {
    renames,
    changes,
  }: { readonly renames: readonly Rename[]; readonly changes: readonly Change[] },
): readonly Effect[] {
  const newName = newSubjects(renames);
  const before = new Map(numbered(factsOfSite(base), newName));
  const after = new Map(numbered(factsOfSite(head), (name) => name));
  const touched = causesByOwner(base, head, changes, newName);
  const effects: Effect[] = [];
  for (const key of new Set([...after.keys(), ...before.keys()])) {
    const one = before.get(key);
    const other = after.get(key);
    if (sameValue(one?.value, other?.value) && sameValue(one?.limit, other?.limit)) {
      continue;
    }
    const fact = (other ?? one)!;
    const subject = other?.subject ?? newName(one!.subject);
    effects.push({
      subject,
      fact: fact.fact,
      unit: fact.unit,
      before: one?.value,
      after: other?.value,
      limit: other?.limit ?? one?.limit,
      crossing: crossingOf(one, other),
      causes: [...(touched.get(subject) ?? touched.get(ownerOf(subject)) ?? [])],
    });
  }
  return [
    ...effects.filter((one) => one.crossing !== undefined),
    ...effects.filter((one) => one.crossing === undefined),
  ];
}

/** Findings by rule and subject; one that became accepted, or is no longer, is another one. */
export function findingChanges(
  base: readonly Finding[],
  head: readonly Finding[],
  renames: readonly Rename[],
): FindingChanges {
  const newName = newSubjects(renames);
  const left = new Map<string, Finding[]>();
  const keyOf = (finding: Finding, subject: string) =>
    `${finding.rule} ${subject} ${finding.severity} ${String(finding.waived !== null)}`;
  for (const finding of base) {
    const key = keyOf(finding, newName(finding.subject));
    left.set(key, [...(left.get(key) ?? []), finding]);
  }
  const fresh = head.filter(
    (finding) => left.get(keyOf(finding, finding.subject))?.shift() === undefined,
  );
  return {
    fresh: fresh.map(reviewed),
    resolved: [...left.values()].flat().map(reviewed),
    unchanged: head.length - fresh.length,
  };
}

export function materialChanges(base: Site, head: Site): readonly MaterialChange[] {
  const before = materialOf(base);
  const after = materialOf(head);
  return [...new Set([...before.keys(), ...after.keys()])]
    .flatMap((key): MaterialChange[] => {
      const one = before.get(key);
      const other = after.get(key);
      const { what, name, unit } = (other ?? one)!;
      const change = { what, name, unit, before: one?.amount ?? 0, after: other?.amount ?? 0 };
      return sameValue(change.before, change.after) ? [] : [change];
    })
    .sort((one, other) => compareNames(one.what, other.what) || compareNames(one.name, other.name));
}

export function changedWork(base: Site, head: Site, changes: readonly Change[]): ChangedWork {
  const touched = new Set<string>();
  const boards = new Set<string>();
  for (const change of changes) {
    if (change.class === 'documentation' || change.class === 'budget') {
      continue;
    }
    for (const name of ownersOf(base, head, change)) {
      touched.add(name);
    }
  }
  const names = [...touched].sort(compareNames);
  const devices = names.flatMap((name) => head.devices.get(name) ?? []);
  const gone = names.flatMap((name) =>
    head.devices.has(name) ? [] : (base.devices.get(name) ?? []),
  );
  names.filter((name) => head.boards.has(name)).forEach((name) => boards.add(name));
  const work = [isolationOfWork(head, devices), isolationOfWork(base, gone)];
  const sorted = (list: Iterable<string>) => [...new Set(list)].sort(compareNames);
  const places = [...devices, ...gone, ...[...boards].map((name) => head.boards.get(name)!)];
  return {
    devices: devices.map(({ name }) => name),
    rooms: sorted(places.flatMap(({ room }) => room ?? [])),
    boards: sorted(boards),
    isolate: sorted(work.flatMap(({ points }) => points.map(({ name }) => name))),
    unlockable: sorted(
      work.flatMap(({ unlockable, unstated }) => [
        ...unlockable.map(({ name }) => name),
        ...unstated,
      ]),
    ),
    removed: gone.map(({ name }) => name),
  };
}

/** The devices and boards at which a change is made: both ends of a cable that is laid anew. */
function ownersOf(base: Site, head: Site, { kind, name, path, before, after }: Change) {
  switch (kind) {
    case 'device': {
      // A cable has two ends: the board or device that it comes from is opened too.
      const lines = [base, head].flatMap((site) => site.devices.get(name)?.inletLines ?? []);
      const touched = lines.filter(
        ({ inlet }) => path.length === 0 || (path[0] === 'inletLines' && path[1] === inlet),
      );
      return [name, ...touched.map(({ from }) => from.owner)];
    }
    case 'board':
      return [name, ...namesIn([before, after])];
    case 'bus':
    case 'feed': {
      const whole = path.length === 0 || path[0] !== 'landings';
      const runs = [base, head].flatMap(
        (site) => site.buses.get(name) ?? site.feeds.get(name) ?? [],
      );
      const all = runs.flatMap((run) => [
        ...run.landings.map((landing) => landing.device),
        ...(run.kind === 'feed' ? [run.from.owner] : []),
      ]);
      if (whole) {
        return all;
      }
      const here = ownerOf(path[1]!);
      const from = runs.flatMap((run) =>
        run.landings.flatMap((landing) => {
          if (landing.device !== here) {
            return [];
          }
          const earlier = landing.from === undefined ? undefined : run.landings[landing.from];
          return earlier?.device ?? (run.kind === 'feed' ? run.from.owner : []);
        }),
      );
      return [here, ...from];
    }
    case 'network':
      return path[0] === 'hosts' ? [ownerOf(path[1] ?? '')] : [];
    case 'isolator':
      return [base, head].flatMap((site) => site.isolators.get(name)?.on.owner ?? []);
    case 'equipment':
      return (head.devicesOf.get(name) ?? []).map((device) => device.name);
    default:
      return [];
  }
}

function namesIn(values: readonly unknown[]): readonly string[] {
  return values.flatMap((value) =>
    typeof value === 'object' && value !== null && 'from' in value
      ? namesIn([value.from])
      : typeof value === 'object' && value !== null && 'owner' in value
        ? [String(value.owner)]
        : [],
  );
}

function causesByOwner(
  base: Site,
  head: Site,
  changes: readonly Change[],
  newName: (name: string) => string,
): ReadonlyMap<string, ReadonlySet<string>> {
  const causes = new Map<string, Set<string>>();
  const add = (name: string, cause: string) => {
    const list = causes.get(name) ?? new Set();
    causes.set(name, list.add(cause));
  };
  for (const change of changes) {
    const cause = `${change.kind} ${change.name}`;
    add(change.name, cause);
    // A change anywhere on a run is felt at every terminal of it.
    for (const site of [base, head]) {
      const run = site.buses.get(change.name) ?? site.feeds.get(change.name);
      run?.landings.forEach((one) => add(`${newName(one.device)}.${one.member}`, cause));
    }
  }
  return causes;
}

function numbered(
  facts: readonly Fact[],
  newName: (name: string) => string,
): readonly (readonly [string, Fact])[] {
  const counts = new Map<string, number>();
  return facts.map((fact) => {
    const key = `${newName(fact.subject)} ${fact.fact}`;
    const number = (counts.get(key) ?? 0) + 1;
    counts.set(key, number);
    return [`${key} ${number}`, fact];
  });
}

function newSubjects(renames: readonly Rename[]): (subject: string) => string {
  const names = new Map(renames.map(({ before, after }) => [before, after]));
  return (subject) => {
    const owner = ownerOf(subject);
    return (
      names.get(subject) ??
      (names.has(owner) ? `${names.get(owner)!}${subject.slice(owner.length)}` : subject)
    );
  };
}

function ownerOf(subject: string): string {
  const dot = subject.lastIndexOf('.');
  return dot < 0 ? subject : subject.slice(0, dot);
}

function crossingOf(before: Fact | undefined, after: Fact | undefined): Effect['crossing'] {
  const wasBroken = (before?.margin ?? 0) < 0;
  const isBroken = (after?.margin ?? 0) < 0;
  return wasBroken === isBroken ? undefined : isBroken ? 'broken' : 'kept';
}

/** Numbers that differ by less than any page shows are the same: sums do not depend on their order. */
function sameValue(one: unknown, other: unknown): boolean {
  if (typeof one === 'number' && typeof other === 'number') {
    return Math.abs(one - other) <= 1e-9 * Math.max(1, Math.abs(one), Math.abs(other));
  }
  return JSON.stringify(one) === JSON.stringify(other);
}

function reviewed({ rule, severity, subject, what, waived }: Finding): ReviewedFinding {
  return { rule, severity, subject, what, accepted: waived !== null };
}

type Amount = Pick<MaterialChange, 'what' | 'name' | 'unit'> & { readonly amount: number };

function materialOf(site: Site): ReadonlyMap<string, Amount> {
  const amounts: Amount[] = [
    ...equipmentLines(site).map(({ name, devices }) => ({
      what: 'equipment' as const,
      name,
      unit: '' as const,
      amount: devices.length,
    })),
    ...cableLines(site).flatMap(({ name = '?', cutsM, plan }): Amount[] => [
      { what: 'cable', name, unit: 'm', amount: cutsM },
      ...(plan === undefined
        ? []
        : [{ what: 'reels' as const, name, unit: '' as const, amount: plan.reels.length }]),
    ]),
  ];
  return new Map(amounts.map((one) => [`${one.what} ${one.name}`, one]));
}
