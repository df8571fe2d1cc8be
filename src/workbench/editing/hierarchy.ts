/** What feeds what, and what supervises what: the two chains that an engineer follows by hand. */
import { supervisionOf, controllersFinding } from '../../analysis/graph/supervision.js';
import type { FileRange } from '../../model/located.js';
import { placeOf } from '../../model/origin.js';
import {
  compareNames,
  equipmentOf,
  memberKey,
  resolvePowerPoint,
  type Site,
} from '../../model/site.js';
import type { OpenSite } from '../open-site.js';
import { fileRangeOf } from '../workbench.js';

export interface HierarchyItem {
  /** A device's or board's name. */
  readonly name: string;
  readonly detail: string;
  readonly at: FileRange;
}

/** The item of a device or board; undefined for anything else. */
export function hierarchyItem(open: OpenSite, name: string): HierarchyItem | undefined {
  const record = open.site.byName.get(name)?.record;
  const at = fileRangeOf(open, placeOf(name));
  return at !== undefined && (record?.kind === 'device' || record?.kind === 'board')
    ? { name, detail: record.kind === 'device' ? record.equipment : 'board', at }
    : undefined;
}

export interface HierarchyStep {
  readonly to: HierarchyItem;
  /** `feeds ZC-1.supply`, `finds FC-1-03`. */
  readonly how: string;
}

/** What an item feeds and finds. */
export function outgoing(open: OpenSite, name: string): HierarchyStep[] {
  const { site } = open;
  const fed = pointsOf(site, name).flatMap((key) => [
    ...(site.inletLinesFrom.get(key) ?? []).map(
      ({ device, line }) => [device.name, `feeds ${memberKey(device.name, line.inlet)}`] as const,
    ),
    ...(site.boardsFrom.get(key) ?? []).map(
      (board) => [board.name, `feeds ${board.name}`] as const,
    ),
    ...(site.feedsFrom.get(key) ?? []).flatMap((feed) =>
      feed.landings.map(
        (landing) =>
          [landing.device, `feeds ${memberKey(landing.device, landing.member)}`] as const,
      ),
    ),
  ]);
  const device = site.devices.get(name);
  const found = (device && supervisionOf(site, device)?.units) ?? [];
  return steps(open, [
    ...fed,
    ...found.map((unit) => [unit.device.name, `finds ${unit.device.name}`] as const),
  ]);
}

/** What feeds and finds an item. */
export function incoming(open: OpenSite, name: string): HierarchyStep[] {
  const { site } = open;
  const device = site.devices.get(name);
  const board = site.boards.get(name);
  const from: (readonly [string, string])[] = [];
  if (board?.from !== undefined) {
    from.push([board.from.owner, `feeds ${name}`]);
  }
  device?.inletLines.forEach((line) =>
    from.push([line.from.owner, `feeds ${memberKey(name, line.inlet)}`]),
  );
  for (const inlet of (device && equipmentOf(site, device)?.inlets) ?? []) {
    for (const { run } of site.feedLandings.get(memberKey(name, inlet.name)) ?? []) {
      for (const source of [run.from, run.and]) {
        if (source !== undefined && resolvePowerPoint(site, source) !== undefined) {
          from.push([source.owner, `feeds ${memberKey(name, inlet.name)} over ${run.name}`]);
        }
      }
    }
  }
  const controllers = device === undefined ? [] : controllersFinding(site, name);
  return steps(open, [
    ...from,
    ...controllers.map((controller) => [controller.name, `finds ${name}`] as const),
  ]);
}

function pointsOf(site: Site, name: string): string[] {
  const board = site.boards.get(name);
  if (board !== undefined) {
    return board.ways.map((way) => memberKey(name, way.name));
  }
  const device = site.devices.get(name);
  return ((device && equipmentOf(site, device)?.outlets) ?? []).map((outlet) =>
    memberKey(name, outlet.name),
  );
}

function steps(open: OpenSite, pairs: readonly (readonly [string, string])[]): HierarchyStep[] {
  const found = new Map<string, HierarchyStep>();
  for (const [name, how] of pairs) {
    const to = hierarchyItem(open, name);
    if (to !== undefined) {
      found.set(`${name} ${how}`, { to, how });
    }
  }
  return [...found.values()].sort((one, other) => compareNames(one.how, other.how));
}
