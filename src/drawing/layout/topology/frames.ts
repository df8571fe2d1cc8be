/** Frames of rooms: neighbours of one row that stand in the same room share a frame. */
import type { Cell, Grid } from './grid.js';

export interface RoomFrame {
  readonly roomId: string;
  readonly row: number;
  readonly slice: number;
  readonly cells: readonly Cell[];
}

export function framesOf(grid: Grid): RoomFrame[] {
  const frames: RoomFrame[] = [];
  for (const row of grid.rows) {
    let group: Cell[] = [];
    const close = () => {
      const first = group[0];
      if (first?.device.roomId !== undefined) {
        frames.push({
          roomId: first.device.roomId,
          row: row.index,
          slice: first.slice,
          cells: group,
        });
      }
      group = [];
    };
    for (const cell of row.cells) {
      const last = group.at(-1);
      const continues =
        last !== undefined &&
        last.slice === cell.slice &&
        last.column + 1 === cell.column &&
        last.device.roomId === cell.device.roomId;
      if (!continues) close();
      group.push(cell);
    }
    close();
  }
  return frames;
}
