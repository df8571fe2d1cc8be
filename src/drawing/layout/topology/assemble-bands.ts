/** Floors and rooms: bands with their level, frames with their title. */
import { TEXTS } from '../../texts.js';
import { plannedText, type TextLook } from '../planned.js';
import { fitText } from '../text-measure.js';
import type { AssembleContext } from './assemble.js';
import { clusterKey } from './clusters.js';
import type { RoomFrame } from './frames.js';
import type { PlannedBand, PlannedFrame } from './plan.js';
import { railTitle } from './rail.js';
import { cellRect } from './rects.js';
import * as size from './sizes.js';
import { CHANNEL_OF_SIDE } from './wiring.js';

const AREA: TextLook = { sizePx: size.AREA_PX, weight: 700, tone: 'ink' };
const LEVEL: TextLook = { sizePx: size.DETAIL_PX, weight: 400, tone: 'muted' };
const ROOM: TextLook = { sizePx: size.ROOM_PX, weight: 400, tone: 'muted' };

export function placeBands(context: AssembleContext): PlannedBand[] {
  const { geometry, measure, scene } = context;
  const x = geometry.railX;
  return context.placement.bands.map((band) => {
    const area = scene.areas.find((one) => one.id === band.areaId);
    const { top, bottom } = geometry.bands[band.index] ?? { top: 0, bottom: 0 };
    const lines = railTitle(area?.title ?? TEXTS.unplaced, geometry.railPx, measure);
    const texts = lines.map((line, index) =>
      plannedText(measure, line, { x, baseline: top + 28 + index * size.AREA_LINE }, AREA),
    );
    const levelY = top + 28 + (lines.length - 1) * size.AREA_LINE + 18;
    const hasLevel = area?.levelM !== undefined;
    if (hasLevel) {
      const level = TEXTS.level(area.levelM);
      texts.push(plannedText(measure, level, { x: x + 15, baseline: levelY }, LEVEL));
    }
    return {
      rect: { x: 0, y: top, width: geometry.widthPx, height: bottom - top },
      index: band.index,
      texts,
      levelMark: hasLevel ? { x, y: levelY } : undefined,
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
    const row = context.geometry.rows[frame.row];
    if (!room || !first || !last || !row) return [];
    const lastRect = cellRect(context, last);
    const left = cellRect(context, first).x - size.FRAME_PAD;
    const right = lastRect.x + lastRect.width + size.FRAME_PAD;
    // The frame is as high as its own satellites need, not as those of the whole row.
    const inner = row.channelTop[CHANNEL_OF_SIDE.inner] ?? row.hostTop;
    const top = inner - stackHeight(context, frame) - size.FRAME_TITLE;
    const title = fitText(
      context.measure,
      room.title,
      ROOM.sizePx,
      ROOM.weight,
      titleRoom(context, frame, right) - left - 14,
    );
    return [
      {
        rect: {
          x: left,
          y: top,
          width: right - left,
          height: row.hostBottom + size.FRAME_PAD - top,
        },
        title:
          title === ''
            ? undefined
            : plannedText(context.measure, title, { x: left + 8, baseline: top + 12 }, ROOM),
        mark: room.mark,
      },
    ];
  });
}

function stackHeight({ sizes }: AssembleContext, frame: RoomFrame): number {
  const heights = frame.cells.map((cell) =>
    cell.satellites.reduce(
      (sum, _, index) => sum + sizes.satelliteHeightPx(cell, index) + size.SATELLITE_GAP,
      0,
    ),
  );
  return Math.max(0, ...heights);
}

/** A title ends before the first feed line that comes down through it. */
function titleRoom(
  { clusters, geometry }: AssembleContext,
  frame: RoomFrame,
  right: number,
): number {
  const lines = frame.cells.flatMap((cell) =>
    (clusters.get(clusterKey(cell, 'feed'))?.slots ?? []).map((slot) => geometry.slotX(slot)),
  );
  return Math.min(right, ...lines);
}
