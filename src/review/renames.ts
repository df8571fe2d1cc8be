/** Which declaration of the later version is one of the earlier under another name. */
import { compareNames } from '../model/site.js';
import type { Site } from '../model/site.js';
import type { Declaration } from '../model/records.js';

export interface Rename {
  readonly kind: string;
  readonly before: string;
  readonly after: string;
  /** How much of what they say and of where they are landed agrees: above 0.5, at most 1. */
  readonly confidence: number;
}

/** Below this, two declarations are two things. */
const LEAST_CONFIDENCE = 0.6;
const kindsWithRenames = new Set(['device', 'bus', 'feed', 'board', 'isolator', 'network']);

interface Known {
  readonly name: string;
  readonly kind: string;
  readonly what: string;
  readonly marks: ReadonlySet<string>;
}

/** The renames, each name once, the surest first; the same pairs whichever version is the earlier one. */
export function renamesBetween(base: Site, head: Site): readonly Rename[] {
  const gone = onlyIn(base, head);
  const come = onlyIn(head, base);
  const byMark = new Map<string, Known[]>();
  for (const one of come) {
    for (const mark of one.marks) {
      const list = byMark.get(`${one.kind} ${one.what} ${mark}`) ?? [];
      byMark.set(`${one.kind} ${one.what} ${mark}`, [...list, one]);
    }
  }
  const pairs = gone.flatMap((one) => {
    const near = new Set(
      [...one.marks].flatMap((mark) => {
        const list = byMark.get(`${one.kind} ${one.what} ${mark}`) ?? [];
        return list.length > MOST_ALIKE ? [] : list;
      }),
    );
    return [...near].map((other) => ({ one, other, confidence: likeness(one, other) }));
  });
  pairs.sort(
    (left, right) =>
      right.confidence - left.confidence ||
      compareNames(lesser(left), lesser(right)) ||
      compareNames(greater(left), greater(right)),
  );
  const taken = new Set<Known>();
  return pairs.flatMap(({ one, other, confidence }) => {
    if (confidence < LEAST_CONFIDENCE || taken.has(one) || taken.has(other)) {
      return [];
    }
    taken.add(one).add(other);
    return [{ kind: one.kind, before: one.name, after: other.name, confidence }];
  });
}

/** A mark that so many share tells nobody apart. */
const MOST_ALIKE = 50;

type Pair = { readonly one: Known; readonly other: Known };

function lesser({ one, other }: Pair): string {
  return one.name < other.name ? one.name : other.name;
}

function greater({ one, other }: Pair): string {
  return one.name < other.name ? other.name : one.name;
}

function onlyIn(site: Site, other: Site): readonly Known[] {
  return site.entries.flatMap(({ record }) => {
    if (!kindsWithRenames.has(record.kind) || !('name' in record)) {
      return [];
    }
    return other.byName.has(record.name)
      ? []
      : [{ name: record.name, kind: record.kind, ...whatOf(site, record) }];
  });
}

/** What it must share with its other self, and the marks by which it is known there. */
function whatOf(site: Site, record: Declaration): Pick<Known, 'what' | 'marks'> {
  switch (record.kind) {
    case 'device': {
      const landings = [
        ...(site.busLandingsOfDevice.get(record.name) ?? []),
        ...(site.feedLandingsOfDevice.get(record.name) ?? []),
      ];
      const marks = landings.flatMap(({ run, landing }) => {
        const before = landing.from === undefined ? undefined : run.landings[landing.from];
        const after = run.landings.find((one) => one.from === landing.index);
        return [
          `on ${run.name} ${landing.member}`,
          `after ${run.name} ${before?.device ?? ''}`,
          `before ${run.name} ${after?.device ?? ''}`,
          `length ${run.name} ${String(landing.lengthM)}`,
        ];
      });
      return {
        what: record.equipment,
        marks: new Set([
          ...marks,
          `room ${record.room ?? ''}`,
          ...record.addresses.map((one) => `address ${one.port ?? ''} ${one.address}`),
          ...record.inletLines.map((one) => `from ${one.from.owner}.${one.from.member}`),
        ]),
      };
    }
    case 'bus':
    case 'feed':
      return {
        what: record.kind === 'bus' ? record.busType : 'feed',
        marks: new Set([
          ...record.landings.map((one) => `${one.device}.${one.member}`),
          ...(record.kind === 'feed' ? [`from ${record.from.owner}.${record.from.member}`] : []),
        ]),
      };
    case 'board':
      return {
        what: 'board',
        marks: new Set([
          `room ${record.room ?? ''}`,
          ...record.ways.map((way) => `way ${way.name} ${String(way.ratedA)}`),
        ]),
      };
    case 'isolator':
      return { what: 'isolator', marks: new Set([`on ${record.on.owner}.${record.on.member}`]) };
    case 'network':
      return {
        what: 'network',
        marks: new Set([
          `prefix ${record.prefix ?? ''}`,
          ...record.hosts.map((host) => `${host.device}.${host.lan}`),
        ]),
      };
    default:
      return { what: '', marks: new Set() };
  }
}

/** The share of marks that both have (Jaccard's index): 0 to 1. */
function likeness(one: Known, other: Known): number {
  const shared = [...one.marks].filter((mark) => other.marks.has(mark)).length;
  return shared / (one.marks.size + other.marks.size - shared);
}
