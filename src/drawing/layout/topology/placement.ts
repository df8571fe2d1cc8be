/**
 * The first step of the topology layout: what each device is to the picture.
 *
 * The picture has three parts side by side: IP devices on the left, the field in the middle, boards and
 * supplies on the right. In the field every device has one primary bus, beside whose other members it
 * stands; a room controller or sensor stands above the unit whose room link it shares.
 */
import type {
  SceneBoard,
  SceneDevice,
  SceneLanding,
  SceneRole,
  SceneRun,
  TopologyScene,
} from '../../scene/scene.js';

/** Where a run's lines leave the boxes of the field. */
export type Side = 'bottom' | 'inner' | 'feed';

/** A floor of the picture; `areaId` is undefined for devices without an area. */
export interface Band {
  readonly index: number;
  readonly areaId: string | undefined;
}

/** Devices of one run on one floor, in the order of the run. */
export interface Strand {
  readonly key: string;
  readonly band: number;
  readonly devices: readonly SceneDevice[];
}

export type StripItem =
  | { readonly kind: 'device'; readonly device: SceneDevice }
  | { readonly kind: 'board'; readonly board: SceneBoard };

export interface Placement {
  readonly bands: readonly Band[];
  readonly bandOfDevice: ReadonlyMap<string, number>;
  readonly bandOfBoard: ReadonlyMap<string, number>;
  /** By band, from top to bottom. */
  readonly left: readonly (readonly StripItem[])[];
  readonly right: readonly (readonly StripItem[])[];
  readonly strands: readonly Strand[];
  /** Satellites by the device above which they stand, the nearest first. */
  readonly satellites: ReadonlyMap<string, readonly SceneDevice[]>;
  readonly sideOfRun: ReadonlyMap<string, Side>;
  /** The run beside whose members each device of the field stands. */
  readonly primaryRun: ReadonlyMap<string, string>;
  /** Runs whose first device stands beside another run: their line comes from elsewhere. */
  readonly headedRuns: ReadonlySet<string>;
}

/** Roles that may stand as a satellite above the device that they share a room link with. */
const SATELLITE_ROLES: ReadonlySet<SceneRole> = new Set([
  'room-controller',
  'sensor',
  'meter',
  'terminator',
  'other',
]);
/** Roles that stay beside their bus although they have an IP address. */
const FIELD_ROLES: ReadonlySet<SceneRole> = new Set([
  'indoor-unit',
  'outdoor-unit',
  'room-controller',
]);
const MOST_SATELLITES = 3;
const MOST_LANDINGS_OF_LOCAL_RUN = 12;
const LOOSE = '~loose';

export function placeDevices(scene: TopologyScene): Placement {
  const devices = new Map(scene.devices.map((device) => [device.id, device]));
  const landings = landingsByDevice(scene, devices);
  const { bands, bandOf } = bandsOf(scene);
  const bandOfDevice = new Map(scene.devices.map((device) => [device.id, bandOf(device.areaId)]));
  const bandOfBoard = new Map(scene.boards.map((board) => [board.id, bandOf(board.areaId)]));

  const hosts = new Set(
    scene.networks.flatMap((network) => network.hosts.map((host) => host.deviceId)),
  );
  const sources = new Set([
    ...scene.branches.map((branch) => branch.owner.id),
    ...scene.runs.filter((run) => run.kind === 'feed').map((run) => run.landings[0]?.owner.id),
  ]);
  const isLeft = (device: SceneDevice) =>
    (hosts.has(device.id) || device.role === 'switch') && !FIELD_ROLES.has(device.role);
  const isRight = (device: SceneDevice) =>
    !isLeft(device) &&
    (device.role === 'supply' || sources.has(device.id)) &&
    busLandings(landings, device.id).length === 0;
  const isField = (device: SceneDevice) => !isLeft(device) && !isRight(device);

  const field = scene.devices.filter(isField);
  const fieldIds = new Set(field.map((device) => device.id));
  const { satellites, hostOf } = satellitesOf(scene, devices, landings, fieldIds, bandOfDevice);
  const withSatellites = new Set(
    [...hostOf.keys()].map((id) => busLandings(landings, id)[0]?.run.id ?? ''),
  );
  const primary = new Map<string, string>();
  for (const device of field) {
    if (hostOf.has(device.id)) continue;
    const run = primaryRun(device, devices, landings, withSatellites);
    if (run !== undefined) primary.set(device.id, run.id);
  }

  return {
    bands,
    bandOfDevice,
    bandOfBoard,
    left: bands.map((band) =>
      scene.devices
        .filter((device) => isLeft(device) && bandOfDevice.get(device.id) === band.index)
        .map((device): StripItem => ({ kind: 'device', device })),
    ),
    right: bands.map((band) => [
      ...scene.boards
        .filter((board) => bandOfBoard.get(board.id) === band.index)
        .map((board): StripItem => ({ kind: 'board', board })),
      ...scene.devices
        .filter((device) => isRight(device) && bandOfDevice.get(device.id) === band.index)
        .map((device): StripItem => ({ kind: 'device', device })),
    ]),
    strands: strandsOf(scene, field, devices, bandOfDevice, hostOf, primary),
    satellites,
    primaryRun: primary,
    headedRuns: new Set(
      scene.runs
        .filter((run) => {
          const head = primary.get(run.landings[0]?.owner.id ?? '');
          return head !== undefined && head !== run.id;
        })
        .map((run) => run.id),
    ),
    sideOfRun: new Map(scene.runs.map((run) => [run.id, sideOf(run, withSatellites, primary)])),
  };
}

interface DeviceLanding {
  readonly run: SceneRun;
  readonly landing: SceneLanding;
}

function landingsByDevice(scene: TopologyScene, devices: ReadonlyMap<string, SceneDevice>) {
  const found = new Map<string, DeviceLanding[]>();
  for (const run of scene.runs) {
    for (const landing of run.landings) {
      if (landing.owner.kind !== 'device' || !devices.has(landing.owner.id)) continue;
      const list = found.get(landing.owner.id);
      if (list) list.push({ run, landing });
      else found.set(landing.owner.id, [{ run, landing }]);
    }
  }
  return found;
}

function busLandings(landings: ReadonlyMap<string, readonly DeviceLanding[]>, deviceId: string) {
  return (landings.get(deviceId) ?? []).filter((one) => one.run.kind === 'bus');
}

function bandsOf(scene: TopologyScene) {
  const known = new Set(scene.areas.map((area) => area.id));
  const bands: Band[] = scene.areas.map((area, index) => ({ index, areaId: area.id }));
  const isUnplaced = (areaId: string | undefined) => areaId === undefined || !known.has(areaId);
  if (
    bands.length === 0 ||
    scene.devices.some((device) => isUnplaced(device.areaId)) ||
    scene.boards.some((board) => isUnplaced(board.areaId))
  ) {
    bands.push({ index: bands.length, areaId: undefined });
  }
  const indexOf = new Map(bands.map((band) => [band.areaId, band.index]));
  const bandOf = (areaId: string | undefined) =>
    indexOf.get(isUnplaced(areaId) ? undefined : areaId) ?? 0;
  return { bands, bandOf };
}

function satellitesOf(
  scene: TopologyScene,
  devices: ReadonlyMap<string, SceneDevice>,
  landings: ReadonlyMap<string, readonly DeviceLanding[]>,
  fieldIds: ReadonlySet<string>,
  bandOfDevice: ReadonlyMap<string, number>,
) {
  const mayBeSatellite = (id: string) => {
    const device = devices.get(id);
    return (
      device !== undefined &&
      fieldIds.has(id) &&
      SATELLITE_ROLES.has(device.role) &&
      busLandings(landings, id).length === 1
    );
  };
  const satellites = new Map<string, SceneDevice[]>();
  const hostOf = new Map<string, string>();
  for (const run of scene.runs) {
    if (run.kind !== 'bus' || run.landings.length > MOST_LANDINGS_OF_LOCAL_RUN) continue;
    const order = run.landings.map((landing) => landing.owner.id);
    order.forEach((id, index) => {
      if (hostOf.has(id) || !mayBeSatellite(id)) return;
      const host = nearest(order, index, (other) => {
        return (
          fieldIds.has(other) &&
          !mayBeSatellite(other) &&
          busLandings(landings, other).length > 1 &&
          bandOfDevice.get(other) === bandOfDevice.get(id) &&
          (satellites.get(other)?.length ?? 0) < MOST_SATELLITES
        );
      });
      const device = devices.get(id);
      if (host === undefined || device === undefined) return;
      hostOf.set(id, host);
      const list = satellites.get(host);
      if (list) list.push(device);
      else satellites.set(host, [device]);
    });
  }
  return { satellites, hostOf };
}

/** The nearest member before, else after, an index that passes a test. */
function nearest(order: readonly string[], index: number, passes: (id: string) => boolean) {
  for (let at = index - 1; at >= 0; at--) if (passes(order[at] ?? '')) return order[at];
  for (let at = index + 1; at < order.length; at++) if (passes(order[at] ?? '')) return order[at];
  return undefined;
}

/** The bus on which a device has most of its own kind; of two such buses, the longer one, then the first by name. */
function primaryRun(
  device: SceneDevice,
  devices: ReadonlyMap<string, SceneDevice>,
  landings: ReadonlyMap<string, readonly DeviceLanding[]>,
  withSatellites: ReadonlySet<string>,
): SceneRun | undefined {
  let best: SceneRun | undefined;
  let bestScore: readonly number[] = [];
  const runs = [...new Set(busLandings(landings, device.id).map((one) => one.run))];
  for (const run of runs) {
    const peers = run.landings.filter(
      (landing) => devices.get(landing.owner.id)?.role === device.role,
    );
    const score = [withSatellites.has(run.id) ? 0 : 1, peers.length, run.landings.length];
    if (best === undefined || isGreater(score, bestScore)) {
      best = run;
      bestScore = score;
    }
  }
  return best;
}

function isGreater(one: readonly number[], other: readonly number[]): boolean {
  for (let index = 0; index < one.length; index++) {
    const difference = (one[index] ?? 0) - (other[index] ?? 0);
    if (difference !== 0) return difference > 0;
  }
  return false;
}

function strandsOf(
  scene: TopologyScene,
  field: readonly SceneDevice[],
  devices: ReadonlyMap<string, SceneDevice>,
  bandOfDevice: ReadonlyMap<string, number>,
  hostOf: ReadonlyMap<string, string>,
  primary: ReadonlyMap<string, string>,
): Strand[] {
  const strands: Strand[] = [];
  const add = (key: string, members: readonly SceneDevice[]) => {
    const byBand = new Map<number, SceneDevice[]>();
    for (const device of members) {
      const band = bandOfDevice.get(device.id) ?? 0;
      const list = byBand.get(band);
      if (list) list.push(device);
      else byBand.set(band, [device]);
    }
    for (const [band, list] of byBand) strands.push({ key, band, devices: list });
  };
  for (const run of scene.runs) {
    const members = new Set(
      run.landings
        .map((landing) => devices.get(landing.owner.id))
        .filter((device) => device !== undefined)
        .filter((device) => primary.get(device.id) === run.id),
    );
    add(run.id, [...members]);
  }
  const loose = field.filter((device) => !primary.has(device.id) && !hostOf.has(device.id));
  const rooms = new Map(scene.rooms.map((room, index) => [room.id, index]));
  add(
    LOOSE,
    [...loose].sort(
      (one, other) => (rooms.get(one.roomId ?? '') ?? -1) - (rooms.get(other.roomId ?? '') ?? -1),
    ),
  );
  return strands;
}

function sideOf(
  run: SceneRun,
  withSatellites: ReadonlySet<string>,
  primary: ReadonlyMap<string, string>,
): Side {
  if (run.kind === 'feed') return 'feed';
  if (withSatellites.has(run.id)) return 'inner';
  const isSecondary = run.landings.every((landing) => {
    const own = primary.get(landing.owner.id);
    return own !== undefined && own !== run.id;
  });
  return isSecondary && run.landings.length <= MOST_LANDINGS_OF_LOCAL_RUN ? 'inner' : 'bottom';
}
