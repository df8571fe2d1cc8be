/** Where rows, strips and lines of terminals stand: sizes follow from the texts between the strips. */
import type { SceneCable, SceneStrip, TerminalsScene } from '../../scene/scene.js';
import { TEXTS } from '../../texts.js';
import type { TextLook } from '../planned.js';
import { BADGE, HEADER_HEIGHT, MARGIN } from '../sheet.js';
import type { TextMeasure } from '../text-measure.js';
import { coreLines, type CoreLine } from './core-lines.js';
import { assignLevels, type CableEndPlace, type Levels, type StripSide } from './levels.js';
import * as size from './sizes.js';
import { cableText, continuationText, coreText } from './words.js';

export interface RowSizes {
  readonly top: number;
  /** Lines of terminals and spare cores of one level. */
  readonly lines: number;
  readonly heightPx: number;
}

export class TerminalsFrame {
  readonly levels: Levels;
  readonly stripPx: number;
  readonly rows: readonly RowSizes[];
  /** Right end of the last column and of what stands beside it. */
  readonly rightPx: number;
  private readonly stripX: readonly number[];
  private readonly stripIndex: ReadonlyMap<string, number>;
  private readonly marksOfCable: ReadonlyMap<string, number>;

  constructor(
    readonly scene: TerminalsScene,
    readonly measure: TextMeasure,
  ) {
    this.levels = assignLevels(scene.strips, scene.cables, size.STRIPS_PER_ROW);
    this.stripIndex = new Map(scene.strips.map((strip, index) => [strip.id, index]));
    this.marksOfCable = marksByCable(scene);
    this.stripPx = this.stripWidth();
    const { x, right } = this.columns();
    this.stripX = x;
    this.rightPx = right;
    this.rows = this.rowSizes();
  }

  get bottomPx(): number {
    return this.rows.reduce((sum, row) => Math.max(sum, row.top + row.heightPx), HEADER_HEIGHT);
  }

  strip(index: number): SceneStrip | undefined {
    return this.scene.strips[index];
  }

  levelsOf(strip: number): number {
    return this.levels.levelsOf[strip] ?? 1;
  }

  rowOf(strip: number): RowSizes {
    const row = this.rows[Math.floor(strip / size.STRIPS_PER_ROW)];
    return row ?? { top: 0, lines: 1, heightPx: 0 };
  }

  xOf(strip: number): number {
    return this.stripX[strip % size.STRIPS_PER_ROW] ?? 0;
  }

  edgeX(strip: number, side: StripSide): number {
    return this.xOf(strip) + (side === 'left' ? 0 : this.stripPx);
  }

  centreX(strip: number): number {
    return this.xOf(strip) + this.stripPx / 2;
  }

  lineY(strip: number, level: number, line: number): number {
    const row = this.rowOf(strip);
    const levelPx = row.lines * size.PITCH + size.LEVEL_GAP;
    return row.top + size.FIRST_TERMINAL + level * levelPx + line * size.PITCH;
  }

  stripHeight(strip: SceneStrip, index: number, lines: number): number {
    return (
      size.FIRST_TERMINAL +
      (this.levelsOf(index) - 1) * (lines * size.PITCH + size.LEVEL_GAP) +
      (Math.max(1, lines) - 1) * size.PITCH +
      size.BOX_BOTTOM +
      (strip.terminals.some((one) => one.screen === 'bonded') ? size.EARTH_ROOM : 0) +
      (strip.cover === 'none' ? 0 : size.COVER_ROOM)
    );
  }

  coreLines(cable: SceneCable): readonly CoreLine[] {
    return coreLines(cable, this.stripOf(cable.from), this.stripOf(cable.to));
  }

  /** Length of the half of a cable that goes on elsewhere. */
  stubLength(end: CableEndPlace): number {
    const textPx = this.widthOf(this.continuation(end), size.NOTE);
    return Math.max(this.cableRoom(end.cable, 'half') - 10, textPx + 8);
  }

  continuation({ cable, strip }: CableEndPlace): string {
    const here = this.strip(strip);
    const otherId = cable.from === here?.id ? cable.to : cable.from;
    const otherIndex = this.stripIndex.get(otherId) ?? 0;
    const row = Math.floor(otherIndex / size.STRIPS_PER_ROW) + 1;
    return continuationText(cable, here, this.stripOf(otherId), row);
  }

  widthOf(text: string, look: TextLook): number {
    return this.measure.width(text, look.sizePx, look.weight);
  }

  private stripOf(id: string): SceneStrip | undefined {
    return this.scene.strips[this.stripIndex.get(id) ?? -1];
  }

  private stripWidth(): number {
    let widthPx: number = size.STRIP_LEAST;
    this.scene.strips.forEach((strip, index) => {
      const names = strip.terminals.map((one) => this.widthOf(one.name, size.TERMINAL));
      const joinsPx = this.levelsOf(index) > 1 ? 10 * strip.terminals.length + 16 : 0;
      const existingPx = strip.existing ? this.widthOf(TEXTS.existing, size.DETAIL) + 10 : 0;
      widthPx = Math.max(
        widthPx,
        Math.min(size.STRIP_MOST, this.widthOf(strip.tag, size.TAG) + existingPx + 24),
        Math.min(size.STRIP_MOST, this.widthOf(strip.detail, size.DETAIL) + 24),
        2 * Math.max(Math.max(0, ...names) + 22, joinsPx + 18),
      );
    });
    return Math.ceil(widthPx);
  }

  /** Left edges of the strips of a row: gaps as wide as the widest thing that any row has there. */
  private columns(): { x: number[]; right: number } {
    const { strips } = this.scene;
    const used = Math.min(size.STRIPS_PER_ROW, strips.length);
    const gaps = Array<number>(used + 1).fill(0);
    const widen = (gap: number, px: number) => {
      gaps[gap] = Math.max(gaps[gap] ?? 0, Math.ceil(px));
    };
    for (let gap = 1; gap < used; gap++) widen(gap, size.GAP_LEAST);
    strips.forEach((_, index) => {
      const column = index % size.STRIPS_PER_ROW;
      const before = column > 0 ? this.sideRoom(index - 1, 'right') : 0;
      widen(column, this.sideRoom(index, 'left') + before);
      const isLast = column === used - 1 || index === strips.length - 1;
      if (isLast) widen(column + 1, this.sideRoom(index, 'right'));
    });
    for (const cable of this.levels.direct) {
      const from = this.stripIndex.get(cable.from) ?? 0;
      const to = this.stripIndex.get(cable.to) ?? 0;
      widen((Math.min(from, to) % size.STRIPS_PER_ROW) + 1, this.cableRoom(cable, 'whole'));
    }
    const x: number[] = [];
    let at = MARGIN + size.ROW_NUMBER;
    for (let column = 0; column < used; column++) {
      at += gaps[column] ?? 0;
      x.push(at);
      at += this.stripPx;
    }
    return { x, right: at + (gaps[used] ?? 0) };
  }

  /** Room beside a strip for cables that go on elsewhere and for its terminator. */
  private sideRoom(index: number, side: StripSide): number {
    const strip = this.strip(index);
    let px = 0;
    for (const end of this.levels.ends) {
      if (end.strip !== index || end.side !== side || this.levels.direct.has(end.cable)) continue;
      px = Math.max(px, this.stubLength(end) + 10);
    }
    if (strip && this.levels.terminatorAt[index]?.side === side) {
      const textPx = this.widthOf(strip.terminatorText, size.NOTE);
      px = Math.max(px, size.RESISTOR.reach + size.RESISTOR.width + 10 + textPx);
    }
    return px;
  }

  private cableRoom(cable: SceneCable, part: 'whole' | 'half'): number {
    const cores = cable.cores.map((core) => this.widthOf(coreText(core), size.CORE));
    const marksPx = 2 * (this.marksOfCable.get(cable.id) ?? 0) * (BADGE + 2);
    return Math.max(
      Math.max(0, ...cores) + (part === 'whole' ? 66 + size.TURN * this.turns(cable) : 54),
      this.widthOf(cable.name, size.CABLE_NAME) + marksPx + 24,
      this.widthOf(cableText(cable), size.CABLE_TEXT) + 24,
    );
  }

  /** Cores that end on another line than they start from. */
  private turns(cable: SceneCable): number {
    return this.coreLines(cable).filter(({ from, to }) => from.line !== to.line).length;
  }

  private rowSizes(): RowSizes[] {
    const rows: RowSizes[] = [];
    const { strips, cables } = this.scene;
    let top = HEADER_HEIGHT + 10;
    for (let first = 0; first < strips.length; first += size.STRIPS_PER_ROW) {
      const inRow = strips.slice(first, first + size.STRIPS_PER_ROW);
      const ids = new Set(inRow.map((strip) => strip.id));
      const lines = Math.max(
        1,
        ...inRow.map((strip) => strip.terminals.length),
        ...cables
          .filter((cable) => ids.has(cable.from) || ids.has(cable.to))
          .flatMap((cable) => this.coreLines(cable))
          .flatMap(({ from, to }) => [from.line + 1, to.line + 1]),
      );
      const heights = inRow.map((strip, index) => this.stripHeight(strip, first + index, lines));
      const heightPx = Math.max(...heights);
      rows.push({ top, lines, heightPx });
      top += heightPx + size.ROW_GAP;
    }
    return rows;
  }
}

function marksByCable(scene: TerminalsScene): ReadonlyMap<string, number> {
  const counts = new Map<string, number>();
  for (const { at } of scene.findings) {
    if (at.kind === 'segment') counts.set(at.id, (counts.get(at.id) ?? 0) + 1);
  }
  return counts;
}
