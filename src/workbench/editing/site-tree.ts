/** A site as a tree: areas with their devices, buses, supplies and networks, each with its totals. */
import type { Range } from '../../model/located.js';
import type { CheckedSite } from '../workbench.js';
import { lensText } from './lenses.js';
import { outlineOf, type OutlineItem } from './outline.js';

export const SITE_GROUPS = ['areas', 'elsewhere', 'buses', 'supplies', 'networks'] as const;
export type SiteGroup = (typeof SITE_GROUPS)[number];

export interface SiteTreeNode {
  readonly name: string;
  readonly kind: 'group' | 'area' | 'board' | 'bus' | 'device' | 'feed' | 'network';
  /** Totals, equipment or title; of a group how many it has. Empty where there is nothing to say. */
  readonly detail: string;
  /** Findings that nobody accepted, in this declaration and below it. */
  readonly errors: number;
  readonly warnings: number;
  readonly uri?: string;
  readonly range?: Range;
  readonly hasChildren: boolean;
}

/** Which level of the tree: that of a group, or that of an area. */
export type SiteTreeLevel =
  | { readonly kind: 'group'; readonly name: SiteGroup }
  | { readonly kind: 'area'; readonly name: string };

/** The groups that have anything in them. */
export function siteGroups(checked: CheckedSite): SiteTreeNode[] {
  const parts = partsOf(checked);
  return SITE_GROUPS.map((name): SiteTreeNode => {
    const members = parts.groups[name];
    return {
      name,
      kind: 'group',
      detail: String(members.length),
      ...sumOf(members.map((member) => countsWithin(parts, member))),
      hasChildren: members.length > 0,
    };
  }).filter(({ hasChildren }) => hasChildren);
}

/** What a group or an area has. Totals are added up for these alone, since somebody sees these alone. */
export function siteLevel(checked: CheckedSite, level: SiteTreeLevel): SiteTreeNode[] {
  const parts = partsOf(checked);
  const members =
    level.kind === 'group'
      ? parts.groups[level.name]
      : parts.groups.areas.filter(({ item }) => item.name === level.name).flatMap(parts.devicesIn);
  return members.map((member): SiteTreeNode => {
    const { file, item } = member;
    const total = lensText(checked.open.site, item.name);
    return {
      name: item.name,
      kind: item.kind as SiteTreeNode['kind'],
      detail: total === '' ? item.detail : total,
      ...countsWithin(parts, member),
      uri: file,
      range: item.nameRange,
      hasChildren: item.kind === 'area' && parts.devicesIn(member).length > 0,
    };
  });
}

interface Declared {
  readonly file: string;
  readonly item: OutlineItem;
}

interface Counts {
  errors: number;
  warnings: number;
}

interface Parts {
  readonly groups: Readonly<Record<SiteGroup, readonly Declared[]>>;
  readonly devicesIn: (area: Declared) => readonly Declared[];
  readonly counts: ReadonlyMap<OutlineItem, Counts>;
}

/** Several levels of one check are asked for, one after the other. */
const known = new WeakMap<CheckedSite, Parts>();

function partsOf(checked: CheckedSite): Parts {
  let parts = known.get(checked);
  if (parts === undefined) {
    parts = sorted(checked);
    known.set(checked, parts);
  }
  return parts;
}

function sorted({ open, findings }: CheckedSite): Parts {
  const declared: readonly Declared[] = open.files.flatMap((file) =>
    outlineOf(file).map((item) => ({ file: file.path, item })),
  );
  const ofKind = (kind: OutlineItem['kind']) => declared.filter(({ item }) => item.kind === kind);
  const inRoom = new Map<string, Declared[]>();
  for (const device of ofKind('device')) {
    const room = roomOf(device.item);
    const others = inRoom.get(room) ?? [];
    others.push(device);
    inRoom.set(room, others);
  }
  const areas = ofKind('area');
  const devicesIn = ({ item }: Declared) =>
    item.children.flatMap(({ name }) => inRoom.get(name) ?? []);
  const placed = new Set(areas.flatMap(devicesIn));
  return {
    groups: {
      areas,
      elsewhere: ofKind('device').filter((device) => !placed.has(device)),
      buses: ofKind('bus'),
      supplies: [...ofKind('board'), ...ofKind('feed')],
      networks: ofKind('network'),
    },
    devicesIn,
    counts: countsOf(declared, findings),
  };
}

/** The outline says of a device what it is and where it is. */
function roomOf({ detail }: OutlineItem): string {
  return detail.split(', ')[1] ?? '';
}

const NONE: Counts = { errors: 0, warnings: 0 };

function countsWithin({ counts, devicesIn }: Parts, member: Declared): Counts {
  const own = counts.get(member.item) ?? NONE;
  return member.item.kind === 'area'
    ? sumOf([own, ...devicesIn(member).map(({ item }) => counts.get(item) ?? NONE)])
    : own;
}

function sumOf(counts: readonly Counts[]): Counts {
  return {
    errors: counts.reduce((sum, { errors }) => sum + errors, 0),
    warnings: counts.reduce((sum, { warnings }) => sum + warnings, 0),
  };
}

/**
 * For each declaration, the findings within it that nobody accepted. Declarations of a file follow each
 * other, so the one that a finding stands in is found by halving.
 */
function countsOf(
  declared: readonly Declared[],
  findings: CheckedSite['findings'],
): ReadonlyMap<OutlineItem, Counts> {
  const inFile = new Map<string, OutlineItem[]>();
  for (const { file, item } of declared) {
    const items = inFile.get(file) ?? [];
    items.push(item);
    inFile.set(file, items);
  }
  const counts = new Map<OutlineItem, Counts>();
  for (const { finding, at } of findings) {
    const item = lastBefore(inFile.get(at.file) ?? [], at.range.start);
    if (finding.waived !== null || item === undefined || isBefore(item.range.end, at.range.end)) {
      continue;
    }
    const own = counts.get(item) ?? { errors: 0, warnings: 0 };
    own.errors += finding.severity === 'error' ? 1 : 0;
    own.warnings += finding.severity === 'warning' ? 1 : 0;
    counts.set(item, own);
  }
  return counts;
}

/** The last item that does not start behind a position. */
function lastBefore(
  items: readonly OutlineItem[],
  position: Range['start'],
): OutlineItem | undefined {
  let low = 0;
  let high = items.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (isBefore(position, items[middle]!.range.start)) {
      high = middle;
    } else {
      low = middle + 1;
    }
  }
  return items[low - 1];
}

function isBefore(one: Range['start'], other: Range['start']): boolean {
  return one.line < other.line || (one.line === other.line && one.character < other.character);
}
