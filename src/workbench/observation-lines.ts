/** Observations as lines of text, and how they come into a file without anything in it changing. */
import { splitText } from '../language/split.js';
import type { Observation } from '../model/records.js';
import { formatNumber } from '../model/quantity.js';

/** `observed RC-1-01 finds 2 on 2026-11-20`. */
export function observationText({ subject, seen, on }: Observation): string {
  const date = on === undefined ? '' : ` on ${on}`;
  switch (seen.how) {
    case 'finds':
      return `observed ${subject} finds ${seen.count}${date}`;
    case 'misses':
      return `observed ${subject} misses ${seen.device}${date}`;
    case 'measures': {
      const within =
        seen.withinPercent === undefined ? '' : ` within ${formatNumber(seen.withinPercent)} %`;
      const state = seen.state === undefined ? '' : ` ${seen.state}`;
      return `observed ${subject} measures ${measureText(seen.value, seen.unit)}${state}${within}${date}`;
    }
    case 'page-opens':
      return `observed ${subject} page opens${date}`;
    case 'page-fails':
      return `observed ${subject} page fails "${stringContent(seen.text)}"${date}`;
  }
}

export type { Observation } from '../model/records.js';

export interface Merged {
  readonly text: string;
  /** The lines that came in, in the order given. */
  readonly added: readonly string[];
  /** Those that stood there already, word for word. */
  readonly known: readonly string[];
}

/**
 * Puts lines behind the last observation of a text, or at its end. What stands there stays, byte for
 * byte, with its line ends; a line that is there already is not written twice.
 */
export function mergeObservations(
  text: string,
  observations: readonly Observation[],
  standing: readonly Observation[],
): Merged {
  const there = new Set([...standing.map(observationText), ...linesIn(text)]);
  const added: string[] = [];
  const known: string[] = [];
  for (const line of observations.map(observationText)) {
    if (there.has(line)) {
      known.push(line);
    } else {
      there.add(line);
      added.push(line);
    }
  }
  if (added.length === 0) {
    return { text, added, known };
  }
  const newline = text.includes('\r\n') ? '\r\n' : '\n';
  const at = placeIn(text);
  const before = text.slice(0, at);
  const after = text.slice(at);
  const isBehindObservation = at < text.length || lastIsObservation(text);
  const gap =
    before === ''
      ? ''
      : (before.endsWith('\n') ? '' : newline) + (isBehindObservation ? '' : newline);
  return {
    text: before + gap + added.map((line) => line + newline).join('') + after,
    added,
    known,
  };
}

/** Behind the line of the last observation; what stands below it there, comments too, stays below. */
function placeIn(text: string): number {
  const last = splitText(text).findLast((piece) => isObservation(piece.text));
  if (last === undefined) {
    return text.length;
  }
  const keyword = last.start + keywordAt(last.text);
  const end = text.indexOf('\n', keyword);
  return end < 0 ? text.length : end + 1;
}

/** The file may not be one of the site's yet, so its own lines count, too. */
function linesIn(text: string): readonly string[] {
  return text
    .split('\n')
    .filter(isObservation)
    .map((line) => line.trimEnd());
}

function lastIsObservation(text: string): boolean {
  const last = splitText(text).at(-1);
  return last !== undefined && isObservation(last.text);
}

function isObservation(piece: string): boolean {
  return keywordAt(piece) >= 0;
}

function keywordAt(piece: string): number {
  return /^observed[ \t]/mu.exec(piece)?.index ?? -1;
}

/** Small voltages and large resistances in the unit in which meters show them. */
function measureText(value: number, unit: string): string {
  if (unit === 'V' && Math.abs(value) < 1) {
    return `${formatNumber(value * 1000, 4)} mV`;
  }
  if (unit === 'A' && Math.abs(value) < 1) {
    return `${formatNumber(value * 1000, 4)} mA`;
  }
  return `${formatNumber(value, 4)} ${unit}`;
}

/** A string ends on its line and has no way to hold its own quote. */
function stringContent(text: string): string {
  return text
    .replaceAll('"', "'")
    .replaceAll(/[\r\n\t]+/gu, ' ')
    .trim();
}
