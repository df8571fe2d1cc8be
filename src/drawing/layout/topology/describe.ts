/** Names of boxes for tooltips and screen readers. */
import type { SceneDevice, SceneSeverity, TopologyScene } from '../../scene/scene.js';
import { ROLE_NAMES, TEXTS } from '../../texts.js';

/** `FC-2-03, indoor unit, Level 2, bus field-2 position 4 of 11, 1 error`. */
export function deviceDescriber(scene: TopologyScene): (device: SceneDevice) => string {
  const areas = new Map(scene.areas.map((area) => [area.id, area.title]));
  const rooms = new Map(scene.rooms.map((room) => [room.id, room.title]));
  const positions = positionsByDevice(scene);
  const counts = findingsByDevice(scene);
  return (device) => {
    const count = counts.get(device.id);
    return [
      device.tag,
      ROLE_NAMES[device.role],
      device.title,
      areas.get(device.areaId ?? '') ?? '',
      rooms.get(device.roomId ?? '') ?? '',
      device.addresses.length === 0 ? '' : TEXTS.addresses(device.addresses),
      device.finds === undefined ? '' : TEXTS.finds(device.finds),
      device.existing ? TEXTS.existing : '',
      device.seen === undefined ? '' : TEXTS.seen[device.seen],
      ...(positions.get(device.id) ?? []),
      count ? TEXTS.findingCounts(count) : '',
    ]
      .filter((part) => part !== '')
      .join(', ');
  };
}

function positionsByDevice(scene: TopologyScene): ReadonlyMap<string, readonly string[]> {
  const positions = new Map<string, string[]>();
  for (const run of scene.runs) {
    run.landings.forEach((landing, index) => {
      if (landing.owner.kind !== 'device') return;
      const text = TEXTS.position(run.kind, run.mark.name, index + 1, run.landings.length);
      const list = positions.get(landing.owner.id);
      if (list) list.push(text);
      else positions.set(landing.owner.id, [text]);
    });
  }
  return positions;
}

function findingsByDevice(scene: TopologyScene) {
  const landings = new Map(
    scene.runs.flatMap((run) =>
      run.landings.map((landing) => [`${run.id}\u0001${landing.id}`, landing.owner.id] as const),
    ),
  );
  const counts = new Map<string, Record<SceneSeverity, number>>();
  for (const { at, severity } of scene.findings) {
    const id =
      at.kind === 'device'
        ? at.id
        : at.kind === 'landing'
          ? landings.get(`${at.runId}\u0001${at.id}`)
          : undefined;
    if (id === undefined) continue;
    const count = counts.get(id) ?? { error: 0, warning: 0, hint: 0 };
    count[severity]++;
    counts.set(id, count);
  }
  return counts;
}
