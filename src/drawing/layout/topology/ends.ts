/** The ends of lines: which box a landing belongs to, and how far two of them are apart. */
import type { SceneLanding } from '../../scene/scene.js';
import type { Cell, Grid } from './grid.js';
import type { Placement, Side } from './placement.js';
import { boardBoxId, columnStep, firstSliceGutter, gutterStep, rightGutter } from './wiring.js';

export type End = CellEnd | StripEnd;

/** An end at a box of the field. */
export interface CellEnd {
  readonly kind: 'cell';
  readonly cell: Cell;
  readonly side: Side;
  readonly ownerId: string;
  readonly tag: string;
  /** Position of the satellite above the device, from 0; −1 for the device itself. */
  readonly satellite: number;
  readonly member: string;
  readonly landing: SceneLanding | undefined;
}

/** An end at a box of a side strip. */
export interface StripEnd {
  readonly kind: 'strip';
  readonly strip: 'left' | 'right';
  readonly boxId: string;
  readonly tag: string;
  readonly band: number;
  readonly member: string;
  readonly landing: SceneLanding | undefined;
}

/** Lines over more floors or slices than these become flags where flags are on. */
const MOST_BANDS_OF_LINE = 2;
const MOST_SLICES_OF_LINE = 1;

export class Ends {
  private readonly hosting = new Map<string, { readonly cell: Cell; readonly satellite: number }>();
  private readonly strips = new Map<
    string,
    { readonly strip: 'left' | 'right'; readonly band: number; readonly tag: string }
  >();

  constructor(
    placement: Placement,
    readonly grid: Grid,
  ) {
    for (const cell of grid.cellOfDevice.values()) {
      this.hosting.set(cell.device.id, { cell, satellite: -1 });
      cell.satellites.forEach((device, satellite) => {
        this.hosting.set(device.id, { cell, satellite });
      });
    }
    for (const strip of ['left', 'right'] as const) {
      placement[strip].forEach((items, band) => {
        for (const item of items) {
          const id = item.kind === 'board' ? boardBoxId(item.board.id) : item.device.id;
          const tag = item.kind === 'board' ? item.board.tag : item.device.tag;
          this.strips.set(id, { strip, band, tag });
        }
      });
    }
  }

  /** The end of a line at an owner; undefined for what is not drawn. */
  endOf(
    owner: { kind: 'device' | 'board'; id: string },
    member: string,
    side: Side,
    landing: SceneLanding | undefined,
  ): End | undefined {
    const id = owner.kind === 'board' ? boardBoxId(owner.id) : owner.id;
    const strip = this.strips.get(id);
    if (strip) return { kind: 'strip', boxId: id, member, landing, ...strip };
    const hosting = this.hosting.get(id);
    if (!hosting) return undefined;
    const { cell, satellite } = hosting;
    const tag = satellite < 0 ? cell.device.tag : (cell.satellites[satellite]?.tag ?? '');
    return { kind: 'cell', cell, satellite, side, ownerId: id, tag, member, landing };
  }

  /** The band of a device in the left strip. */
  leftBandOf(deviceId: string): number | undefined {
    const place = this.strips.get(deviceId);
    return place?.strip === 'left' ? place.band : undefined;
  }

  /** True for a line that stays in its row and so needs no name of its own. */
  isShort(start: End, end: End): boolean {
    return (
      start.kind === 'cell' &&
      end.kind === 'cell' &&
      start.cell.row === end.cell.row &&
      start.side === end.side &&
      start.cell.slice === end.cell.slice
    );
  }

  isLong(start: End, end: End): boolean {
    if (start.kind === 'strip' && end.kind === 'strip' && start.strip === end.strip) return false;
    const bands = Math.abs(this.bandOf(start) - this.bandOf(end));
    const slices = Math.abs(this.sliceOf(start) - this.sliceOf(end));
    return bands > MOST_BANDS_OF_LINE || slices > MOST_SLICES_OF_LINE;
  }

  stepOf(end: CellEnd): number {
    return columnStep(this.grid, end.cell.slice, end.cell.column);
  }

  /** Columns from one end to where another one is; never 0. */
  towards(end: CellEnd, other: End): number {
    if (other.kind === 'strip') return other.strip === 'left' ? -100 : 100;
    const difference = this.stepOf(other) - this.stepOf(end);
    return difference === 0 ? -1 : difference;
  }

  firstRowOf(band: number): number {
    return this.grid.rows.find((row) => row.band === band)?.index ?? 0;
  }

  /** The gutter on the shortest way; among equals the one nearest to the end of the line. */
  gutterBetween(start: CellEnd, end: CellEnd): number {
    let best = firstSliceGutter;
    let bestCost = Infinity;
    for (let gutter = firstSliceGutter; gutter < rightGutter(this.grid); gutter++) {
      const at = gutterStep(this.grid, gutter);
      const toEnd = Math.abs(this.stepOf(end) - at);
      const cost = (Math.abs(this.stepOf(start) - at) + toEnd) * 100 + toEnd;
      if (cost < bestCost) {
        best = gutter;
        bestCost = cost;
      }
    }
    return best;
  }

  private bandOf(end: End): number {
    return end.kind === 'strip' ? end.band : (this.grid.rows[end.cell.row]?.band ?? 0);
  }

  private sliceOf(end: End): number {
    if (end.kind === 'cell') return end.cell.slice;
    return end.strip === 'left' ? -0.5 : this.grid.slices - 0.5;
  }
}
