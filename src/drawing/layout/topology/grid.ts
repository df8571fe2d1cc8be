/**
 * The second step of the topology layout: rows and columns.
 *
 * A floor is a band of rows. A slice is a vertical strip of the same number of columns in every band; a
 * bus lives in one slice, so that it reads as one strip from floor to floor. Lines between slices and
 * floors run in the gutters beside the slices.
 */
import type { SceneDevice } from '../../scene/scene.js';
import type { Placement, Strand } from './placement.js';

/**
 * The choices that move everything when they change: kept from the previous picture of the same site
 * and reused, so that one edit moves little.
 */
export interface GridMemory {
  readonly slices: number;
  readonly columns: number;
  readonly sliceOfRun: Readonly<Record<string, number>>;
  readonly startSide: StartSide;
}

/**
 * From which side of a slice the first rows start: all from the left; those of runs whose line comes from
 * another run's device (`headed`) from the right; or the others, whose devices are such heads (`roots`).
 */
export type StartSide = 'left' | 'headed-right' | 'roots-right';

/** A device's place in the grid. */
export interface Cell {
  readonly device: SceneDevice;
  readonly satellites: readonly SceneDevice[];
  /** Row of the whole picture, from the top. */
  readonly row: number;
  readonly slice: number;
  /** Column inside the slice. */
  readonly column: number;
}

export interface GridRow {
  readonly index: number;
  readonly band: number;
  readonly cells: readonly Cell[];
}

export interface Grid {
  readonly slices: number;
  readonly columns: number;
  readonly rows: readonly GridRow[];
  readonly cellOfDevice: ReadonlyMap<string, Cell>;
  readonly memory: GridMemory;
}

/** Estimated sizes in px, from which the number of columns and slices is chosen. */
export interface CellEstimate {
  readonly columnPx: number;
  readonly rowPx: number;
  readonly satellitePx: number;
  readonly gutterPx: number;
  readonly leftPx: number;
  readonly rightPx: number;
  /** Height that the side strips need in each band. */
  readonly stripPx: readonly number[];
}

/** Width to height of the picture that is aimed at. */
const ASPECT = 1.6;
const MOST_COLUMNS = 14;
const MOST_SLICES = 12;
/** A remembered grid is kept until another one is better by this factor. */
const WORTH_A_CHANGE = 1.25;

export function chooseGrid(
  placement: Placement,
  estimate: CellEstimate,
  startSide: StartSide,
  previous: GridMemory | undefined,
): Grid {
  const longest = Math.max(1, ...placement.strands.map((strand) => strand.devices.length));
  let best: Packing | undefined;
  for (let slices = 1; slices <= MOST_SLICES; slices++) {
    for (
      let columns = Math.min(3, longest);
      columns <= Math.min(MOST_COLUMNS, longest);
      columns++
    ) {
      const packing = pack(placement, slices, columns, startSide, {});
      if (slices > 1 && packing.usedSlices < slices) continue;
      packing.cost = costOf(packing, placement, estimate);
      if (best === undefined || packing.cost < best.cost) best = packing;
    }
  }
  best ??= pack(placement, 1, 1, startSide, {});
  if (previous) {
    const kept = pack(
      placement,
      Math.max(1, previous.slices),
      Math.max(1, previous.columns),
      startSide,
      previous.sliceOfRun,
    );
    kept.cost = costOf(kept, placement, estimate);
    if (kept.cost <= best.cost * WORTH_A_CHANGE) best = kept;
  }
  return gridOf(best, placement);
}

interface Placed {
  readonly device: SceneDevice;
  readonly band: number;
  readonly row: number;
  readonly slice: number;
  readonly column: number;
}

interface Packing {
  readonly slices: number;
  readonly columns: number;
  readonly usedSlices: number;
  readonly rowsOfBand: readonly number[];
  readonly placed: readonly Placed[];
  readonly sliceOfRun: Record<string, number>;
  readonly startSide: StartSide;
  cost: number;
}

/** Rows of one slice in one band; in a row every column holds a device or nothing. */
type Shelf = (SceneDevice | undefined)[][];

function pack(
  placement: Placement,
  slices: number,
  columns: number,
  startSide: StartSide,
  remembered: Readonly<Record<string, number>>,
): Packing {
  const shelves: Shelf[][] = placement.bands.map(() => Array.from({ length: slices }, () => []));
  const sliceOfRun: Record<string, number> = {};
  for (const [key, strands] of strandsByRun(placement.strands)) {
    const wanted = remembered[key];
    const slice =
      wanted !== undefined && wanted < slices
        ? wanted
        : cheapestSlice(strands, shelves, slices, columns);
    sliceOfRun[key] = slice;
    let fromRight =
      startSide !== 'left' && (startSide === 'headed-right') === placement.headedRuns.has(key);
    for (const strand of strands) {
      const shelf = shelves[strand.band]?.[slice];
      if (!shelf) continue;
      const alignment = placement.headedRuns.has(key) ? 'start-side' : 'left';
      fromRight = place(strand.devices, shelf, columns, fromRight, alignment);
    }
  }
  const placed: Placed[] = [];
  let usedSlices = 0;
  shelves.forEach((bandShelves, band) => {
    bandShelves.forEach((shelf, slice) => {
      if (shelf.length > 0) usedSlices = Math.max(usedSlices, slice + 1);
      shelf.forEach((rowDevices, row) => {
        rowDevices.forEach((device, column) => {
          if (device) placed.push({ device, band, row, slice, column });
        });
      });
    });
  });
  return {
    slices,
    columns,
    usedSlices,
    rowsOfBand: shelves.map((bandShelves) =>
      Math.max(1, ...bandShelves.map((shelf) => shelf.length)),
    ),
    placed,
    sliceOfRun,
    startSide,
    cost: 0,
  };
}

function strandsByRun(strands: readonly Strand[]): ReadonlyMap<string, readonly Strand[]> {
  const byRun = new Map<string, Strand[]>();
  for (const strand of strands) {
    const list = byRun.get(strand.key);
    if (list) list.push(strand);
    else byRun.set(strand.key, [strand]);
  }
  return byRun;
}

/** The slice in which a run makes the bands grow least; then the one with fewest rows already there. */
function cheapestSlice(
  strands: readonly Strand[],
  shelves: readonly (readonly Shelf[])[],
  slices: number,
  columns: number,
): number {
  let best = 0;
  let bestCost = Infinity;
  for (let slice = 0; slice < slices; slice++) {
    let growth = 0;
    let filled = 0;
    for (const strand of strands) {
      const bandShelves = shelves[strand.band] ?? [];
      const shelf = bandShelves[slice] ?? [];
      const rowsNow = Math.max(1, ...bandShelves.map((one) => one.length));
      const rowsThen =
        shelf.length +
        (roomFor(strand.devices.length, shelf, columns)
          ? 0
          : Math.ceil(strand.devices.length / columns));
      growth += Math.max(0, rowsThen - rowsNow);
      filled += rowsThen;
    }
    const cost = growth * 1000 + filled;
    if (cost < bestCost) {
      best = slice;
      bestCost = cost;
    }
  }
  return best;
}

/** The free columns of the last row, from the left, where a short strand fits into them. */
function roomFor(count: number, shelf: Shelf, columns: number): { from: number } | undefined {
  const last = shelf.at(-1);
  if (!last || count >= columns) return undefined;
  let from = 0;
  for (let column = 0; column < columns; column++) if (last[column]) from = column + 1;
  return columns - from >= count ? { from } : undefined;
}

/**
 * Puts a strand into a shelf: into the rest of the last row where it fits, else into rows of its own that
 * turn back at their ends. Gives whether the next strand of the run starts at the right.
 */
function place(
  devices: readonly SceneDevice[],
  shelf: Shelf,
  columns: number,
  fromRight: boolean,
  alignment: 'start-side' | 'left',
): boolean {
  const room = roomFor(devices.length, shelf, columns);
  const last = shelf.at(-1);
  if (room && last) {
    devices.forEach((device, index) => {
      last[fromRight ? room.from + devices.length - 1 - index : room.from + index] = device;
    });
    return !fromRight;
  }
  let right = fromRight;
  for (const rowDevices of rowsOf(devices, columns)) {
    const row = Array<SceneDevice | undefined>(columns).fill(undefined);
    // A short single row stands at the left, whichever way it runs, so that the picture has one left edge.
    const last = alignment === 'left' && devices.length <= columns ? rowDevices.length : columns;
    rowDevices.forEach((device, index) => {
      row[right ? last - 1 - index : index] = device;
    });
    shelf.push(row);
    right = !right;
  }
  return right;
}

/** Fills rows to the last column; a room is not torn apart where that costs no further row. */
function rowsOf(devices: readonly SceneDevice[], columns: number): SceneDevice[][] {
  const rows: SceneDevice[][] = [];
  let start = 0;
  while (start < devices.length) {
    const rowsLeft = Math.ceil((devices.length - start) / columns);
    let end = Math.min(devices.length, start + columns);
    if (end < devices.length) {
      let cut = end;
      while (cut > start && isSameRoom(devices[cut - 1], devices[cut])) cut--;
      const fits = Math.ceil((devices.length - cut) / columns) === rowsLeft - 1;
      if (cut > start + columns / 2 && fits) end = cut;
    }
    rows.push(devices.slice(start, end));
    start = end;
  }
  return rows;
}

function isSameRoom(one: SceneDevice | undefined, other: SceneDevice | undefined): boolean {
  return one?.roomId !== undefined && one.roomId === other?.roomId;
}

/** The longer side of the frame of the wanted shape that holds the picture, and the area it takes. */
function costOf(packing: Packing, placement: Placement, estimate: CellEstimate): number {
  const withSatellites = new Set<string>();
  for (const { device, band, row } of packing.placed) {
    if (placement.satellites.has(device.id)) withSatellites.add(`${band}/${row}`);
  }
  let heightPx = 0;
  packing.rowsOfBand.forEach((rows, band) => {
    let rowsPx = rows * estimate.rowPx;
    for (let row = 0; row < rows; row++) {
      if (withSatellites.has(`${band}/${row}`)) rowsPx += estimate.satellitePx;
    }
    heightPx += Math.max(rowsPx, estimate.stripPx[band] ?? 0);
  });
  const widthPx =
    estimate.leftPx +
    estimate.rightPx +
    packing.slices * (packing.columns * estimate.columnPx + estimate.gutterPx);
  return Math.max(widthPx, heightPx * ASPECT) + Math.sqrt(widthPx * heightPx * ASPECT);
}

function gridOf(packing: Packing, placement: Placement): Grid {
  const firstRow: number[] = [];
  let total = 0;
  for (const rows of packing.rowsOfBand) {
    firstRow.push(total);
    total += rows;
  }
  const bandOfRow = packing.rowsOfBand.flatMap((rows, band) => Array<number>(rows).fill(band));
  const cellsOfRow: Cell[][] = Array.from({ length: total }, () => []);
  const cellOfDevice = new Map<string, Cell>();
  for (const { device, band, row, slice, column } of packing.placed) {
    const cell: Cell = {
      device,
      satellites: placement.satellites.get(device.id) ?? [],
      row: (firstRow[band] ?? 0) + row,
      slice,
      column,
    };
    cellsOfRow[cell.row]?.push(cell);
    cellOfDevice.set(device.id, cell);
  }
  return {
    slices: packing.slices,
    columns: packing.columns,
    rows: cellsOfRow.map((cells, index) => ({
      index,
      band: bandOfRow[index] ?? 0,
      cells: cells.sort((one, other) => one.slice - other.slice || one.column - other.column),
    })),
    cellOfDevice,
    memory: {
      slices: packing.slices,
      columns: packing.columns,
      sliceOfRun: packing.sliceOfRun,
      startSide: packing.startSide,
    },
  };
}
