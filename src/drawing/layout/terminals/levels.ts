/**
 * Which cable leaves which side of a strip, and at which level.
 *
 * Strips stand in the order of the run. The cable to the next strip leaves at the right of the first
 * level and arrives at the left of the next one; where three cables or more meet, the strip's terminals
 * come again at further levels, joined inside the strip.
 */
import type { SceneCable, SceneStrip } from '../../scene/scene.js';

export type StripSide = 'left' | 'right';

/** One end of a cable at a strip. */
export interface CableEndPlace {
  readonly cable: SceneCable;
  readonly strip: number;
  readonly level: number;
  readonly side: StripSide;
}

export interface Levels {
  /** For each strip, how often its terminals come. */
  readonly levelsOf: readonly number[];
  readonly ends: readonly CableEndPlace[];
  /** Cables drawn straight from strip to strip. */
  readonly direct: ReadonlySet<SceneCable>;
  /** Where the terminator of a strip has room; undefined where the strip has none. */
  readonly terminatorAt: readonly (
    { readonly level: number; readonly side: StripSide } | undefined
  )[];
}

export function assignLevels(
  strips: readonly SceneStrip[],
  cables: readonly SceneCable[],
  stripsPerRow: number,
): Levels {
  const indexOf = new Map(strips.map((strip, index) => [strip.id, index]));
  const taken = strips.map((): Record<StripSide, boolean>[] => []);
  const ends: CableEndPlace[] = [];
  const direct = new Set<SceneCable>();
  const linked = new Set<SceneCable>();
  const occupy = (cable: SceneCable, strip: number, level: number, side: StripSide) => {
    const levels = taken[strip] ?? [];
    while (levels.length <= level) levels.push({ left: false, right: false });
    const slot = levels[level];
    if (slot) slot[side] = true;
    ends.push({ cable, strip, level, side });
  };

  for (let index = 0; index + 1 < strips.length; index++) {
    const cable = cables.find(
      (one) => !linked.has(one) && joins(one, strips[index]?.id ?? '', strips[index + 1]?.id ?? ''),
    );
    if (!cable) continue;
    linked.add(cable);
    occupy(cable, index, 0, 'right');
    occupy(cable, index + 1, 0, 'left');
    if ((index + 1) % stripsPerRow !== 0) direct.add(cable);
  }
  for (const cable of cables) {
    if (linked.has(cable)) continue;
    const from = indexOf.get(cable.from);
    const to = indexOf.get(cable.to);
    if (from !== undefined) occupy(cable, from, ...freeSide(taken[from] ?? [], 'right'));
    if (to !== undefined) occupy(cable, to, ...freeSide(taken[to] ?? [], 'left'));
  }
  const terminatorAt = strips.map((strip, index) => {
    if (strip.terminator === 'none') return undefined;
    const levels = taken[index] ?? [];
    const preferred: StripSide = levels[0]?.left ? 'right' : 'left';
    const [level, side] = freeSide(levels, preferred);
    while (levels.length <= level) levels.push({ left: false, right: false });
    return { level, side };
  });
  return {
    levelsOf: taken.map((levels) => Math.max(1, levels.length)),
    ends,
    direct,
    terminatorAt,
  };
}

function joins(cable: SceneCable, one: string, other: string): boolean {
  return (cable.from === one && cable.to === other) || (cable.from === other && cable.to === one);
}

/** The first free place from the top, on the wanted side where both are free. */
function freeSide(
  levels: readonly Record<StripSide, boolean>[],
  wanted: StripSide,
): [level: number, side: StripSide] {
  const other: StripSide = wanted === 'left' ? 'right' : 'left';
  for (let level = 0; level < levels.length; level++) {
    if (!levels[level]?.[wanted]) return [level, wanted];
    if (!levels[level]?.[other]) return [level, other];
  }
  return [levels.length, wanted];
}
