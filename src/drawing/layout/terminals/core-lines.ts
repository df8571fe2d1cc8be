/** On which line of its strips each core of a cable runs. */
import type { SceneCable, SceneCore, SceneStrip, SceneTerminal } from '../../scene/scene.js';

/** Lines of a core at the two ends of a cable, counted from the first terminal. */
export interface CoreLine {
  readonly core: SceneCore;
  readonly from: EndLine;
  readonly to: EndLine;
}

export interface EndLine {
  readonly line: number;
  /** The terminal on which it lands; undefined where it is cut back. */
  readonly terminal: SceneTerminal | undefined;
}

/**
 * A landed end stands on the line of its terminal. An end that is cut back goes straight on where that
 * line is free at its strip, else below the terminals, so that no two cores share a line.
 */
export function coreLines(
  cable: SceneCable,
  from: SceneStrip | undefined,
  to: SceneStrip | undefined,
): readonly CoreLine[] {
  const below = Math.max(from?.terminals.length ?? 0, to?.terminals.length ?? 0);
  const landedFrom = cable.cores.map((core) => landedOn(from, core.fromTerminal));
  const landedTo = cable.cores.map((core) => landedOn(to, core.toTerminal));
  const usedFrom = new Set(landedFrom.map((end) => end?.line));
  const usedTo = new Set(landedTo.map((end) => end?.line));
  return cable.cores.map((core, index) => {
    const start = landedFrom[index];
    const end = landedTo[index];
    if (start && end) return { core, from: start, to: end };
    if (start) return { core, from: start, to: cutBack(usedTo, start.line, below) };
    if (end) return { core, from: cutBack(usedFrom, end.line, below), to: end };
    const free = cutBack(new Set([...usedFrom, ...usedTo]), below, below);
    usedFrom.add(free.line);
    usedTo.add(free.line);
    return { core, from: free, to: free };
  });
}

/** An insulated screen ends before the strip. */
export function isLandable(terminal: SceneTerminal): boolean {
  return terminal.kind !== 'screen' || terminal.screen !== 'insulated';
}

function landedOn(
  strip: SceneStrip | undefined,
  terminalId: string | undefined,
): EndLine | undefined {
  const line = strip?.terminals.findIndex((one) => one.id === terminalId) ?? -1;
  const terminal = strip?.terminals[line];
  return terminal && isLandable(terminal) ? { line, terminal } : undefined;
}

/** The wanted line where nothing runs on it, else the first free one below the terminals. */
function cutBack(used: Set<number | undefined>, wanted: number, below: number): EndLine {
  let line = wanted;
  if (used.has(line)) {
    line = below;
    while (used.has(line)) line++;
  }
  used.add(line);
  return { line, terminal: undefined };
}
