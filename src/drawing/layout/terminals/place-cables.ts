/** Cables core by core: straight to the next strip, or as two halves that say where the other one is. */
import type { SceneCable, SceneCore } from '../../scene/scene.js';
import type { Point } from '../geometry.js';
import { anchored, plannedText, type PlannedText, type TextLook } from '../planned.js';
import type { EndLine } from './core-lines.js';
import type { TerminalsFrame } from './frame.js';
import type { CableEndPlace } from './levels.js';
import { leadOf } from './place-strips.js';
import type { PlannedCable, PlannedContinuation, PlannedCore, PlannedLink } from './plan.js';
import * as size from './sizes.js';
import { cableText, coreText } from './words.js';

export interface PlacedCables {
  readonly cores: readonly PlannedCore[];
  readonly cables: readonly PlannedCable[];
  readonly continuations: readonly PlannedContinuation[];
  readonly links: readonly PlannedLink[];
}

export function placeCables(frame: TerminalsFrame): PlacedCables {
  const placer = new CablePlacer(frame);
  for (const cable of frame.scene.cables) placer.place(cable);
  return placer;
}

/** A core with its heights at the near and the far end. */
interface PlacedCore {
  readonly core: SceneCore;
  readonly nearY: number;
  readonly farY: number;
  readonly isLandedNear: boolean;
  readonly isLandedFar: boolean;
}

class CablePlacer implements PlacedCables {
  readonly cores: PlannedCore[] = [];
  readonly cables: PlannedCable[] = [];
  readonly continuations: PlannedContinuation[] = [];
  readonly links: PlannedLink[] = [];

  constructor(private readonly frame: TerminalsFrame) {}

  place(cable: SceneCable): void {
    const { levels } = this.frame;
    const ends = levels.ends.filter((end) => end.cable === cable);
    const [near, far] = ends;
    if (levels.direct.has(cable) && near && far) {
      this.placeDirect(cable, near, far);
      return;
    }
    ends.forEach((end, index) => this.placeHalf(cable, end, index === 0 ? 'full' : 'name'));
  }

  private placeDirect(cable: SceneCable, near: CableEndPlace, far: CableEndPlace): void {
    const fromX = this.frame.edgeX(near.strip, 'right');
    const toX = this.frame.edgeX(far.strip, 'left');
    const ellipseX = toX - 30;
    const lines = this.coreLines(cable, near, far);
    let turns = 0;
    for (const { core, nearY, farY, isLandedNear, isLandedFar } of lines) {
      const start = { x: isLandedNear ? fromX : fromX + size.CUT_BACK, y: nearY };
      const end = { x: isLandedFar ? toX : toX - size.CUT_BACK, y: farY };
      // Cores that change places do so before the ellipse, each at a place of its own.
      const turnX = nearY === farY ? undefined : ellipseX - 14 - size.TURN * turns++;
      const points =
        turnX === undefined
          ? [start, end]
          : [start, { x: turnX, y: nearY }, { x: turnX, y: farY }, end];
      const caps = [...(isLandedNear ? [] : [start]), ...(isLandedFar ? [] : [end])];
      this.addCore(cable, core, points, { x: fromX + 14, baseline: nearY - 5 }, caps);
    }
    this.addCable(cable, near, { lines, ellipseX, middleX: (fromX + toX) / 2, words: 'full' });
  }

  private placeHalf(cable: SceneCable, end: CableEndPlace, words: 'full' | 'name'): void {
    const direction = end.side === 'left' ? -1 : 1;
    const edge = this.frame.edgeX(end.strip, end.side);
    const length = this.frame.stubLength(end);
    const far = edge + direction * length;
    const lines = this.coreLines(cable, end, undefined);
    for (const { core, nearY, isLandedNear } of lines) {
      const start = { x: isLandedNear ? edge : edge + direction * size.CUT_BACK, y: nearY };
      const textX = Math.min(edge, far) + (direction > 0 ? 14 : 30);
      this.addCore(
        cable,
        core,
        [start, { x: far, y: nearY }],
        { x: textX, baseline: nearY - 5 },
        isLandedNear ? [] : [start],
      );
    }
    const heights = lines.map((line) => line.nearY);
    const bottom = Math.max(...heights) + 10;
    const text = plannedText(
      this.frame.measure,
      this.frame.continuation(end),
      { x: far, baseline: bottom + 13 },
      size.NOTE,
    );
    this.continuations.push({
      cableId: cable.id,
      from: { x: far, y: Math.min(...heights) - 14 },
      to: { x: far, y: bottom },
      text: direction > 0 ? anchored(text, 'end') : text,
      mark: cable.mark,
    });
    const ellipseX = edge + direction * (length - 16);
    this.addCable(cable, end, { lines, ellipseX, middleX: (edge + far) / 2, words });
  }

  /** For each core the heights at its ends, with the leads to the terminals on which it lands. */
  private coreLines(
    cable: SceneCable,
    near: CableEndPlace,
    far: CableEndPlace | undefined,
  ): PlacedCore[] {
    const nearIsFrom = this.frame.strip(near.strip)?.id === cable.from;
    return this.frame.coreLines(cable).map(({ core, from, to }) => {
      const [nearLine, farLine] = nearIsFrom ? [from, to] : [to, from];
      const nearY = this.landed(near, nearLine);
      return {
        core,
        nearY,
        farY: far ? this.landed(far, farLine) : nearY,
        isLandedNear: nearLine.terminal !== undefined,
        isLandedFar: far === undefined || farLine.terminal !== undefined,
      };
    });
  }

  private landed(end: CableEndPlace, { line, terminal }: EndLine): number {
    if (terminal) this.links.push(leadOf(this.frame, end, line, terminal));
    return this.frame.lineY(end.strip, end.level, line);
  }

  private addCore(
    cable: SceneCable,
    core: SceneCore,
    points: readonly Point[],
    textAt: { readonly x: number; readonly baseline: number },
    caps: readonly Point[],
  ): void {
    const words = coreText(core);
    this.cores.push({
      id: core.id,
      cableId: cable.id,
      kind: core.kind,
      colour: core.colour,
      points,
      text: words === '' ? undefined : plannedText(this.frame.measure, words, textAt, size.CORE),
      caps,
      existing: cable.existing,
    });
  }

  private addCable(
    cable: SceneCable,
    end: CableEndPlace,
    drawn: {
      readonly lines: readonly PlacedCore[];
      readonly ellipseX: number;
      readonly middleX: number;
      readonly words: 'full' | 'name';
    },
  ): void {
    const heights = drawn.lines.flatMap((line) => [line.nearY, line.farY]);
    const top = Math.min(...heights);
    const bottom = Math.max(...heights);
    const first = this.frame.lineY(end.strip, end.level, 0);
    const text = (content: string, look: TextLook, baseline: number): PlannedText =>
      anchored(
        plannedText(this.frame.measure, content, { x: drawn.middleX, baseline }, look),
        'middle',
      );
    this.cables.push({
      id: cable.id,
      centre: { x: drawn.ellipseX, y: (top + bottom) / 2 },
      radiusX: size.ELLIPSE_X,
      radiusY: (bottom - top) / 2 + 11,
      texts: [
        text(cable.name, size.CABLE_NAME, first - 34),
        ...(drawn.words === 'full' ? [text(cableText(cable), size.CABLE_TEXT, first - 21)] : []),
      ],
      mark: cable.mark,
      description: `${cable.name}: ${cableText(cable)}`,
    });
  }
}
