/** A site as a tree: areas with their devices, buses, supplies and networks, each with its totals. */
import type { Range } from '../../model/located.js';
import type { CheckedSite } from '../workbench.js';
import { lensText } from './lenses.js';
import { outlineOf, type OutlineItem } from './outline.js';

export interface SiteTreeNode {
  readonly name: string;
  readonly kind: 'group' | 'area' | 'board' | 'bus' | 'device' | 'feed' | 'network';
  /** Totals, equipment or title; empty where there is nothing to say. */
  readonly detail: string;
  /** Findings that nobody accepted, in this declaration and below it. */
  readonly errors: number;
  readonly warnings: number;
  readonly uri?: string;
  readonly range?: Range;
  readonly children: SiteTreeNode[];
}

interface Declared {
  readonly file: string;
  readonly item: OutlineItem;
}

/** The groups that have anything in them: areas, elsewhere, buses, supplies, networks. */
export function siteTreeOf(checked: CheckedSite): SiteTreeNode[] {
  const { open, findings } = checked;
  const declared: readonly Declared[] = open.files.flatMap((file) =>
    outlineOf(file).map((item) => ({ file: file.path, item })),
  );
  const counts = countsOf(declared, findings);
  const nodeOf = (
    { file, item }: Declared,
    kind: SiteTreeNode['kind'],
    children: SiteTreeNode[] = [],
  ): SiteTreeNode => {
    const own = counts.get(item);
    const total = lensText(open.site, item.name);
    return {
      name: item.name,
      kind,
      detail: total === '' ? item.detail : total,
      errors: sum(children, 'errors') + (own?.errors ?? 0),
      warnings: sum(children, 'warnings') + (own?.warnings ?? 0),
      uri: file,
      range: item.nameRange,
      children,
    };
  };
  const ofKind = (kind: OutlineItem['kind']) => declared.filter(({ item }) => item.kind === kind);

  const devices = ofKind('device');
  const inRoom = new Map<string, Declared[]>();
  for (const device of devices) {
    const room = roomOf(device.item);
    const others = inRoom.get(room) ?? [];
    others.push(device);
    inRoom.set(room, others);
  }
  const placed = new Set<Declared>();
  const areas = ofKind('area').map((area) => {
    const rooms = new Set(area.item.children.map(({ name }) => name));
    const inside = [...rooms].flatMap((room) => inRoom.get(room) ?? []);
    inside.forEach((device) => placed.add(device));
    return nodeOf(
      area,
      'area',
      inside.map((device) => nodeOf(device, 'device')),
    );
  });
  const elsewhere = devices.filter((device) => !placed.has(device));
  return [
    group('areas', areas),
    group(
      'elsewhere',
      elsewhere.map((device) => nodeOf(device, 'device')),
    ),
    group(
      'buses',
      ofKind('bus').map((bus) => nodeOf(bus, 'bus')),
    ),
    group('supplies', [
      ...ofKind('board').map((board) => nodeOf(board, 'board')),
      ...ofKind('feed').map((feed) => nodeOf(feed, 'feed')),
    ]),
    group(
      'networks',
      ofKind('network').map((network) => nodeOf(network, 'network')),
    ),
  ].filter(({ children }) => children.length > 0);
}

function group(name: string, children: SiteTreeNode[]): SiteTreeNode {
  return {
    name,
    kind: 'group',
    detail: String(children.length),
    errors: sum(children, 'errors'),
    warnings: sum(children, 'warnings'),
    children,
  };
}

function sum(nodes: readonly SiteTreeNode[], of: 'errors' | 'warnings'): number {
  return nodes.reduce((total, node) => total + node[of], 0);
}

/** The outline says of a device what it is and where it is. */
function roomOf({ detail }: OutlineItem): string {
  return detail.split(', ')[1] ?? '';
}

interface Counts {
  errors: number;
  warnings: number;
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
