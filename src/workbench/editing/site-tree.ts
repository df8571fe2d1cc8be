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
  const standing = findings.filter(({ finding }) => finding.waived === null);
  const nodeOf = (
    { file, item }: Declared,
    kind: SiteTreeNode['kind'],
    children: SiteTreeNode[] = [],
  ): SiteTreeNode => {
    const own = standing.filter(({ at }) => at.file === file && isWithin(at.range, item.range));
    const total = lensText(open.site, item.name);
    return {
      name: item.name,
      kind,
      detail: total === '' ? item.detail : total,
      errors: sum(children, 'errors') + own.filter(isOf('error')).length,
      warnings: sum(children, 'warnings') + own.filter(isOf('warning')).length,
      uri: file,
      range: item.nameRange,
      children,
    };
  };
  const ofKind = (kind: OutlineItem['kind']) => declared.filter(({ item }) => item.kind === kind);

  const devices = ofKind('device');
  const placed = new Set<Declared>();
  const areas = ofKind('area').map((area) => {
    const rooms = new Set(area.item.children.map(({ name }) => name));
    const inside = devices.filter(({ item }) => rooms.has(roomOf(item)));
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

function isOf(severity: 'error' | 'warning') {
  return ({ finding }: CheckedSite['findings'][number]): boolean => finding.severity === severity;
}

/** The outline says of a device what it is and where it is. */
function roomOf({ detail }: OutlineItem): string {
  return detail.split(', ')[1] ?? '';
}

function isWithin(inner: Range, outer: Range): boolean {
  return !isBefore(inner.start, outer.start) && !isBefore(outer.end, inner.end);
}

function isBefore(one: Range['start'], other: Range['start']): boolean {
  return one.line < other.line || (one.line === other.line && one.character < other.character);
}
