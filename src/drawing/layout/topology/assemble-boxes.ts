import type { SceneDevice, TopologyScene } from '../../scene/scene.js';
import { ROLE_NAMES, TEXTS } from '../../texts.js';
import type { Rect } from '../geometry.js';
import { fitText } from '../text-measure.js';
import type { AssembleContext, AssembleInput } from './assemble.js';
import { factsOf, hostAddressesOf, type StripBox } from './boxes.js';
import { clusterKey } from './clusters.js';
import type { Cell } from './grid.js';
import type {
  PlannedBand,
  PlannedBar,
  PlannedBox,
  PlannedFrame,
  PlannedText,
  Tone,
} from './plan.js';
import * as size from './sizes.js';
import type { Slot, StripPin } from './wiring.js';

export function cellRect(context: AssembleInput, cell: Cell): Rect {
  const { geometry } = context;
  return {
    x: geometry.columnX(cell.slice, cell.column),
    y: geometry.rows[cell.row]?.hostTop ?? 0,
    width: geometry.columnPx(cell.slice, cell.column),
    height: context.sizes.boxHeightPx(cell),
  };
}

/** A satellite stands right of the lanes and left of the feed lanes of its cell. */
export function satelliteRect(context: AssembleInput, cell: Cell, satellite: number): Rect {
  const { geometry, sizes } = context;
  return {
    x: Math.round(geometry.clusterX(cell, 'inner').to + 6),
    y: geometry.satelliteTop(cell, satellite),
    width: sizes.satellitePx,
    height: sizes.satelliteHeightPx(cell, satellite),
  };
}

export function stripRect(context: AssembleInput, box: StripBox): Rect {
  const strip = context.geometry.strips[stripOf(context, box)];
  return {
    x: strip.x,
    y: context.geometry.stripTop.get(box.id) ?? 0,
    width: strip.px,
    height: box.heightPx,
  };
}

function stripOf(context: AssembleInput, box: StripBox): 'left' | 'right' {
  const { item } = box;
  if (item.kind === 'board') return 'right';
  const isLeft = context.placement.left.some((items) =>
    items.some((other) => other.kind === 'device' && other.device.id === item.device.id),
  );
  return isLeft ? 'left' : 'right';
}

/** Key of a pin on a satellite: one slot may reach two satellites. */
export function satellitePinKey(slot: Slot, ownerId: string): string {
  return `${ownerId}\u0001${slot.side}\u0001${slot.index}`;
}

/** Heights of the pins on the satellites' edges: lines from below stand below lines that go up. */
export function satellitePins(context: AssembleInput): ReadonlyMap<string, number> {
  const byEdge = new Map<string, { slot: Slot; ownerId: string; order: number }[]>();
  const seen = new Set<string>();
  const add = (slot: Slot, ownerId: string) => {
    const level = slot.cell.satellites.findIndex((device) => device.id === ownerId);
    const key = satellitePinKey(slot, ownerId);
    if (level < 0 || seen.has(key)) return;
    seen.add(key);
    const goesUp = slot.ownerId !== ownerId;
    const edge = `${ownerId}\u0001${slot.side}`;
    const entry = { slot, ownerId, order: goesUp ? 0 : slot.kind === 'pin' ? 2 : 1 };
    const list = byEdge.get(edge);
    if (list) list.push(entry);
    else byEdge.set(edge, [entry]);
  };
  for (const wire of context.wiring.wires) {
    for (const piece of wire.pieces) {
      for (const step of piece) if (step.kind === 'slot') add(step.slot, step.ownerId);
    }
  }
  for (const slot of context.wiring.slots) if (slot.kind !== 'pin') add(slot, slot.ownerId);
  const heights = new Map<string, number>();
  for (const entries of byEdge.values()) {
    entries.sort((one, other) => one.order - other.order || one.slot.index - other.slot.index);
    entries.forEach(({ slot, ownerId }, index) => {
      const level = slot.cell.satellites.findIndex((device) => device.id === ownerId);
      const rect = satelliteRect(context, slot.cell, level);
      heights.set(
        satellitePinKey(slot, ownerId),
        Math.round(rect.y + (rect.height * (index + 1)) / (entries.length + 1)),
      );
    });
  }
  return heights;
}

export function placeBands(context: AssembleContext): PlannedBand[] {
  const { geometry, measure, scene } = context;
  return context.placement.bands.map((band) => {
    const area = scene.areas.find((one) => one.id === band.areaId);
    const { top, bottom } = geometry.bands[band.index] ?? { top: 0, bottom: 0 };
    const limit = geometry.railPx - 14;
    const title = fitText(measure, area?.title ?? TEXTS.unplaced, size.AREA_PX, 700, limit);
    const texts = [plannedText(context, title, geometry.railX, top + 28, size.AREA_PX, 700, 'ink')];
    if (area?.levelM !== undefined) {
      texts.push(
        plannedText(
          context,
          TEXTS.level(area.levelM),
          geometry.railX + 15,
          top + 46,
          size.DETAIL_PX,
          400,
          'muted',
        ),
      );
    }
    return {
      rect: { x: 0, y: top, width: geometry.widthPx, height: bottom - top },
      index: band.index,
      texts,
      levelMark: area?.levelM === undefined ? undefined : { x: geometry.railX, y: top + 46 },
      mark: area?.mark,
    };
  });
}

export function placeFrames(context: AssembleContext): PlannedFrame[] {
  const rooms = new Map(context.scene.rooms.map((room) => [room.id, room]));
  return context.frames.flatMap((frame): PlannedFrame[] => {
    const room = rooms.get(frame.roomId);
    const first = frame.cells[0];
    const last = frame.cells.at(-1);
    const geometry = first && context.geometry.rows[first.row];
    if (!room || !first || !last || !geometry) return [];
    const left = cellRect(context, first).x - size.FRAME_PAD;
    const lastRect = cellRect(context, last);
    const right = lastRect.x + lastRect.width + size.FRAME_PAD;
    // The title ends before the first feed line that comes down through it.
    const lines = frame.cells.flatMap((cell) => {
      const cluster = context.clusters.get(clusterKey(cell, 'feed'));
      return (cluster?.slots ?? []).map((slot) => context.geometry.slotX(slot));
    });
    const limit = Math.min(right, ...lines) - left - 14;
    // The frame is as high as its own satellites need, not as those of the whole row.
    const stackPx = Math.max(
      ...frame.cells.map((cell) =>
        cell.satellites.reduce(
          (sum, _, index) =>
            sum + context.sizes.satelliteHeightPx(cell, index) + size.SATELLITE_GAP,
          0,
        ),
      ),
    );
    const top = (geometry.channelTop[1] ?? geometry.hostTop) - stackPx - size.FRAME_TITLE;
    const title = fitText(context.measure, room.title, size.ROOM_PX, 400, limit);
    return [
      {
        rect: {
          x: left,
          y: top,
          width: right - left,
          height: geometry.hostBottom + size.FRAME_PAD - top,
        },
        title:
          title === ''
            ? undefined
            : plannedText(context, title, left + 8, top + 12, size.ROOM_PX, 400, 'muted'),
        mark: room.mark,
      },
    ];
  });
}

/** All boxes in reading order: the field row by row, then the strips. */
export function placeBoxes(context: AssembleContext): PlannedBox[] {
  const runs = new Map(context.scene.runs.map((run) => [run.id, run.mark.name]));
  const areas = new Map(context.scene.areas.map((area) => [area.id, area.title]));
  const areaOfBand = context.placement.bands.map((band) => areas.get(band.areaId ?? ''));
  return boxesOf(context).map((box) => ({
    ...box,
    chain: runs.get(context.placement.primaryRun.get(box.host ?? box.id) ?? ''),
    area: areaOfBand[box.band],
  }));
}

type BoxDraft = Omit<PlannedBox, 'chain' | 'area'> & { readonly host?: string };

function boxesOf(context: AssembleContext): BoxDraft[] {
  const describe = describer(context);
  const hostAddresses = hostAddressesOf(context.scene);
  const facts = (device: SceneDevice) => factsOf(device, hostAddresses.get(device.id) ?? []);
  const boxes: BoxDraft[] = [];
  for (const row of context.grid.rows) {
    for (const cell of row.cells) {
      const { device } = cell;
      const rect = cellRect(context, cell);
      const x = rect.x + size.BOX_PAD;
      const inside = rect.width - 2 * size.BOX_PAD;
      const lines = [device.title, facts(device)].filter((line) => line !== '');
      const cluster = context.clusters.get(clusterKey(cell, 'bottom'));
      const names = (cluster?.ports.length ?? 0) > 1 ? (cluster?.ports ?? []) : [];
      const clusterFrom = context.geometry.clusterX(cell, 'bottom').from;
      boxes.push({
        id: device.id,
        kind: 'device',
        style: 'field',
        rect,
        role: device.role,
        icon: { x, y: rect.y + 8 },
        existing: device.existing,
        texts: [
          fitted(
            context,
            device.tag,
            x + size.ICON + 6,
            rect.y + 20,
            size.TAG_PX,
            700,
            'ink',
            inside - size.ICON - 6,
          ),
          ...lines.map((line, index) =>
            fitted(
              context,
              line,
              x,
              rect.y + 33 + 12 * index,
              size.DETAIL_PX,
              400,
              index === lines.length - 1 && line === facts(device) ? 'ink' : 'muted',
              inside,
            ),
          ),
          ...names.map((port): PlannedText => {
            const text = plannedText(
              context,
              port.member,
              clusterFrom + port.middlePx,
              rect.y + rect.height - 4,
              size.PORT_NAME_PX,
              400,
              'muted',
            );
            return { ...text, anchor: 'middle' };
          }),
        ],
        rules: [],
        mark: device.mark,
        description: describe(device),
        band: row.band,
      });
      cell.satellites.forEach((satellite, index) => {
        boxes.push(
          satelliteBox(context, cell, satellite, index, facts(satellite), describe, row.band),
        );
      });
    }
  }
  for (const strip of ['left', 'right'] as const) {
    context.placement[strip].forEach((items, band) => {
      for (const item of items) {
        const box = context.strips.get(
          item.kind === 'board' ? `board\u0001${item.board.id}` : item.device.id,
        );
        if (box) boxes.push(stripBox(context, box, strip, band, describe));
      }
    });
  }
  return boxes;
}

function satelliteBox(
  context: AssembleContext,
  cell: Cell,
  device: SceneDevice,
  index: number,
  facts: string,
  describe: (device: SceneDevice) => string,
  band: number,
): BoxDraft {
  const rect = satelliteRect(context, cell, index);
  const x = rect.x + 7;
  const inside = rect.width - 14;
  return {
    id: device.id,
    host: cell.device.id,
    kind: 'device',
    style: 'satellite',
    rect,
    role: device.role,
    icon: { x, y: rect.y + 3 },
    existing: device.existing,
    texts: [
      fitted(
        context,
        device.tag,
        x + size.ICON + 4,
        rect.y + 15,
        size.SATELLITE_TAG_PX,
        700,
        'ink',
        inside - size.ICON - 4,
      ),
      ...(facts === ''
        ? []
        : [fitted(context, facts, x, rect.y + 27, size.DETAIL_PX, 400, 'ink', inside)]),
    ],
    rules: [],
    mark: device.mark,
    description: describe(device),
    band,
  };
}

function stripBox(
  context: AssembleContext,
  box: StripBox,
  strip: 'left' | 'right',
  band: number,
  describe: (device: SceneDevice) => string,
): BoxDraft {
  const rect = stripRect(context, box);
  const x = rect.x + size.BOX_PAD;
  const inside = rect.width - 2 * size.BOX_PAD;
  const tag = box.item.kind === 'board' ? box.item.board.tag : box.item.device.tag;
  const lines: { text: string; tone: Tone }[] = [];
  if (box.title !== '') lines.push({ text: box.title, tone: 'muted' });
  if (box.facts !== '') lines.push({ text: box.facts, tone: 'ink' });
  const texts = [
    fitted(
      context,
      tag,
      x + size.ICON + 6,
      rect.y + 20,
      size.TAG_PX,
      700,
      'ink',
      inside - size.ICON - 6,
    ),
    ...lines.map((line, index) =>
      fitted(
        context,
        line.text,
        x,
        rect.y + 34 + 13 * index,
        size.DETAIL_PX,
        400,
        line.tone,
        inside,
      ),
    ),
  ];
  box.rows.forEach((row, index) => {
    if (row.text === '') return;
    const baseline = rect.y + box.headerPx + (index + 0.5) * size.STRIP_ROW + 3.5;
    const text = fitted(
      context,
      row.text,
      strip === 'left' ? rect.x + rect.width - 8 : rect.x + 8,
      baseline,
      size.DETAIL_PX,
      400,
      'muted',
      rect.width - 16,
    );
    texts.push(strip === 'left' ? { ...text, anchor: 'end' } : text);
  });
  const ruleY = rect.y + box.headerPx - 1;
  return {
    id: box.id,
    kind: box.item.kind,
    style: 'strip',
    rect,
    role: box.item.kind === 'board' ? 'board' : box.item.device.role,
    icon: { x, y: rect.y + 8 },
    existing: box.item.kind === 'board' ? box.item.board.existing : box.item.device.existing,
    texts,
    rules:
      box.rows.length === 0
        ? []
        : [
            [
              { x: rect.x, y: ruleY },
              { x: rect.x + rect.width, y: ruleY },
            ],
          ],
    mark: box.item.kind === 'board' ? box.item.board.mark : box.item.device.mark,
    description:
      box.item.kind === 'board'
        ? [tag, box.title].filter((part) => part !== '').join(', ')
        : describe(box.item.device),
    band,
  };
}

export function placeBars(context: AssembleContext): PlannedBar[] {
  const bars: PlannedBar[] = [];
  for (const cluster of context.clusters.values()) {
    const { cell, side } = cluster;
    const rect = cellRect(context, cell);
    const from = context.geometry.clusterX(cell, side).from;
    for (const port of cluster.ports) {
      if (port.ownerId !== cell.device.id) continue;
      const y = side === 'bottom' ? rect.y + rect.height : rect.y;
      bars.push({
        from: { x: from + port.fromPx + 1.5, y },
        to: { x: from + port.toPx - 1.5, y },
        runId: port.runId,
      });
    }
  }
  for (const wire of context.wiring.wires) {
    for (const step of wire.pieces.flat()) {
      if (step.kind !== 'slot') continue;
      const { slot, ownerId } = step;
      const level = slot.cell.satellites.findIndex((device) => device.id === ownerId);
      if (level >= 0) {
        const y = context.satellitePinY.get(satellitePinKey(slot, ownerId)) ?? 0;
        const rect = satelliteRect(context, slot.cell, level);
        const x = slot.side === 'inner' ? rect.x : rect.x + rect.width;
        bars.push({ from: { x, y: y - 3.5 }, to: { x, y: y + 3.5 }, runId: slot.runId });
      } else if (slot.ownerId !== ownerId) {
        // A lane from a satellite ends on the device itself.
        const x = context.geometry.slotX(slot);
        const { y } = cellRect(context, slot.cell);
        bars.push({ from: { x: x - 4, y }, to: { x: x + 4, y }, runId: slot.runId });
      }
    }
  }
  for (const group of pinGroups(context.wiring.pins)) {
    const first = group[0];
    if (!first) continue;
    const heights = group.map((pin) => context.geometry.pinY(pin));
    const x = pinX(context, first);
    bars.push({
      from: { x, y: Math.min(...heights) - 4 },
      to: { x, y: Math.max(...heights) + 4 },
      runId: first.runId,
    });
  }
  return bars;
}

export function pinX(context: AssembleInput, pin: StripPin): number {
  const strip = context.geometry.strips[pin.strip];
  const atLeft = (pin.strip === 'left') === (pin.edge === 'outer');
  return atLeft ? strip.x : strip.x + strip.px;
}

function pinGroups(pins: readonly StripPin[]): StripPin[][] {
  const groups = new Map<string, StripPin[]>();
  for (const pin of pins) {
    const key = [pin.boxId, pin.edge, pin.member, pin.runId].join('\u0001');
    const list = groups.get(key);
    if (list) list.push(pin);
    else groups.set(key, [pin]);
  }
  return [...groups.values()];
}

/** `FC-2-03, indoor unit, Level 2, bus field-2 position 4 of 11, 1 error`. */
function describer(context: AssembleContext): (device: SceneDevice) => string {
  const { scene } = context;
  const areas = new Map(scene.areas.map((area) => [area.id, area.title]));
  const rooms = new Map(scene.rooms.map((room) => [room.id, room.title]));
  const positions = new Map<string, string[]>();
  for (const run of scene.runs) {
    run.landings.forEach((landing, index) => {
      const text = TEXTS.position(run.kind, run.mark.name, index + 1, run.landings.length);
      const list = positions.get(landing.owner.id);
      if (list) list.push(text);
      else positions.set(landing.owner.id, [text]);
    });
  }
  const counts = new Map<string, Record<'error' | 'warning' | 'hint', number>>();
  for (const { at, severity } of context.findings) {
    const id =
      at.kind === 'device' ? at.id : at.kind === 'landing' ? ownerAt(scene, at) : undefined;
    if (id === undefined) continue;
    const count = counts.get(id) ?? { error: 0, warning: 0, hint: 0 };
    count[severity]++;
    counts.set(id, count);
  }
  return (device) => {
    const count = counts.get(device.id);
    return [
      device.tag,
      ROLE_NAMES[device.role],
      device.title,
      areas.get(device.areaId ?? '') ?? '',
      rooms.get(device.roomId ?? '') ?? '',
      ...device.addresses.map(TEXTS.address),
      device.finds === undefined ? '' : TEXTS.finds(device.finds),
      device.existing ? TEXTS.existing : '',
      ...(positions.get(device.id) ?? []),
      count ? TEXTS.findingCounts(count) : '',
    ]
      .filter((part) => part !== '')
      .join(', ');
  };
}

function ownerAt(scene: TopologyScene, at: { runId: string; id: string }): string | undefined {
  const run = scene.runs.find((one) => one.id === at.runId);
  return run?.landings.find((landing) => landing.id === at.id)?.owner.id;
}

export function plannedText(
  context: AssembleInput,
  text: string,
  x: number,
  baseline: number,
  sizePx: number,
  weight: 400 | 700,
  tone: Tone,
): PlannedText {
  return {
    text,
    x,
    baseline,
    anchor: 'start',
    sizePx,
    weight,
    tone,
    widthPx: context.measure.width(text, sizePx, weight),
  };
}

export function fitted(
  context: AssembleInput,
  text: string,
  x: number,
  baseline: number,
  sizePx: number,
  weight: 400 | 700,
  tone: Tone,
  limitPx: number,
): PlannedText {
  return plannedText(
    context,
    fitText(context.measure, text, sizePx, weight, limitPx),
    x,
    baseline,
    sizePx,
    weight,
    tone,
  );
}
