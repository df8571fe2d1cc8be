/** Strips with their terminals, and what hangs on them: joins between levels, terminators, earth, covers. */
import type { SceneStrip, SceneTerminal } from '../../scene/scene.js';
import { TEXTS } from '../../texts.js';
import { anchored, fittedText, plannedText } from '../planned.js';
import { isLandable } from './core-lines.js';
import type { TerminalsFrame } from './frame.js';
import type { StripSide } from './levels.js';
import type {
  PlannedCover,
  PlannedEarth,
  PlannedLink,
  PlannedStrip,
  PlannedTerminal,
  PlannedTermination,
} from './plan.js';
import * as size from './sizes.js';

export function placeStrips(frame: TerminalsFrame): PlannedStrip[] {
  const { measure } = frame;
  return frame.scene.strips.map((strip, index) => {
    const { top, lines } = frame.rowOf(index);
    const x = frame.xOf(index);
    const insidePx = frame.stripPx - 20;
    const existing = strip.existing
      ? [
          anchored(
            plannedText(
              measure,
              TEXTS.existing,
              { x: x + frame.stripPx - 10, baseline: top + 20 },
              size.DETAIL,
            ),
            'end',
          ),
        ]
      : [];
    const tagPx = insidePx - (existing[0] ? existing[0].widthPx + 10 : 0);
    return {
      id: strip.id,
      rect: { x, y: top, width: frame.stripPx, height: frame.stripHeight(strip, index, lines) },
      headerBottom: top + size.HEADER,
      existing: strip.existing,
      texts: [
        fittedText(measure, strip.tag, { x: x + 10, baseline: top + 20 }, size.TAG, tagPx),
        fittedText(measure, strip.detail, { x: x + 10, baseline: top + 36 }, size.DETAIL, insidePx),
        ...existing,
      ],
      mark: strip.mark,
      description: [strip.tag, strip.detail, strip.existing ? TEXTS.existing : '']
        .filter((text) => text !== '')
        .join(', '),
    };
  });
}

/** A terminal at each level; a screen that ends before the strip has none. */
export function placeTerminals(frame: TerminalsFrame): PlannedTerminal[] {
  return frame.scene.strips.flatMap((strip, index) =>
    Array.from({ length: frame.levelsOf(index) }, (_, level) =>
      strip.terminals.flatMap((terminal, line): PlannedTerminal[] => {
        if (!isLandable(terminal) && terminal.name === '') return [];
        const centre = { x: frame.centreX(index), y: frame.lineY(index, level, line) };
        const nameAt = { x: centre.x - size.TERMINAL_RADIUS - 3, baseline: centre.y - 5 };
        return [
          {
            stripId: strip.id,
            terminalId: terminal.id,
            kind: terminal.kind,
            centre,
            isJoint: terminal.kind === 'screen' && terminal.name === '',
            name: anchored(plannedText(frame.measure, terminal.name, nameAt, size.TERMINAL), 'end'),
          },
        ];
      }),
    ).flat(),
  );
}

/** The same terminal at several levels is one: joined inside the strip, each on a line of its own. */
export function placeJoins(frame: TerminalsFrame): PlannedLink[] {
  return frame.scene.strips.flatMap((strip, index) => {
    const levels = frame.levelsOf(index);
    if (levels < 2) return [];
    return strip.terminals
      .filter((terminal) => isLandable(terminal) || terminal.name !== '')
      .flatMap((terminal) =>
        joinsOf(frame, index, levels, terminal, strip.terminals.indexOf(terminal)),
      );
  });
}

function joinsOf(
  frame: TerminalsFrame,
  strip: number,
  levels: number,
  terminal: SceneTerminal,
  line: number,
): PlannedLink[] {
  const x = frame.centreX(strip) + 18 + line * 10;
  const nearX = frame.centreX(strip) + size.TERMINAL_RADIUS;
  const heights = Array.from({ length: levels }, (_, level) => frame.lineY(strip, level, line));
  const first = heights[0] ?? 0;
  const last = heights.at(-1) ?? 0;
  return [
    {
      kind: terminal.kind,
      points: [
        { x: nearX, y: first },
        { x, y: first },
        { x, y: last },
        { x: nearX, y: last },
      ],
    },
    ...heights.slice(1, -1).map((y) => ({
      kind: terminal.kind,
      points: [
        { x: nearX, y },
        { x, y },
      ],
    })),
  ];
}

/** From the edge of a strip to one of its terminals. */
export function leadOf(
  frame: TerminalsFrame,
  end: { readonly strip: number; readonly level: number; readonly side: StripSide },
  line: number,
  terminal: SceneTerminal,
): PlannedLink {
  const y = frame.lineY(end.strip, end.level, line);
  const radius = end.side === 'left' ? -size.TERMINAL_RADIUS : size.TERMINAL_RADIUS;
  return {
    kind: terminal.kind,
    points: [
      { x: frame.edgeX(end.strip, end.side), y },
      { x: frame.centreX(end.strip) + radius, y },
    ],
  };
}

/** Terminators across the first two terminals, on the side where no cable leaves. */
export function placeTerminations(frame: TerminalsFrame): {
  terminations: PlannedTermination[];
  links: PlannedLink[];
} {
  const terminations: PlannedTermination[] = [];
  const links: PlannedLink[] = [];
  frame.scene.strips.forEach((strip, index) => {
    const place = frame.levels.terminatorAt[index];
    if (!place || strip.terminator === 'none') return;
    const end = { strip: index, ...place };
    strip.terminals
      .slice(0, 2)
      .forEach((terminal, line) => links.push(leadOf(frame, end, line, terminal)));
    terminations.push(terminationOf(frame, strip, end, strip.terminator));
  });
  return { terminations, links };
}

function terminationOf(
  frame: TerminalsFrame,
  strip: SceneStrip,
  end: { readonly strip: number; readonly level: number; readonly side: StripSide },
  state: 'fitted' | 'missing',
): PlannedTermination {
  const { width, height, reach } = size.RESISTOR;
  const direction = end.side === 'left' ? -1 : 1;
  const edge = frame.edgeX(end.strip, end.side);
  const x = edge + direction * reach;
  const upper = frame.lineY(end.strip, end.level, 0);
  const lower = frame.lineY(end.strip, end.level, 1);
  const middle = (upper + lower) / 2;
  const textAt = { x: x + direction * (width / 2 + 5), baseline: middle + 3.5 };
  const text = plannedText(frame.measure, strip.terminatorText, textAt, size.NOTE);
  return {
    stripId: strip.id,
    state,
    rect: { x: x - width / 2, y: middle - height / 2, width, height },
    leads: [
      [
        { x: edge, y: upper },
        { x, y: upper },
        { x, y: middle - height / 2 },
      ],
      [
        { x: edge, y: lower },
        { x, y: lower },
        { x, y: middle + height / 2 },
      ],
    ],
    text: end.side === 'left' ? anchored(text, 'end') : text,
  };
}

/** The screen's connection to earth, at its last level. */
export function placeEarths(frame: TerminalsFrame): PlannedEarth[] {
  return frame.scene.strips.flatMap((strip, index) =>
    strip.terminals.flatMap((terminal, line): PlannedEarth[] => {
      if (terminal.screen !== 'bonded') return [];
      const y = frame.lineY(index, frame.levelsOf(index) - 1, line);
      const radius = terminal.name === '' ? 3 : size.TERMINAL_RADIUS;
      return [{ stripId: strip.id, at: { x: frame.centreX(index), y: y + radius }, lengthPx: 26 }];
    }),
  );
}

export function placeCovers(frame: TerminalsFrame): PlannedCover[] {
  return frame.scene.strips.flatMap((strip, index): PlannedCover[] => {
    if (strip.cover === 'none') return [];
    const x = frame.xOf(index);
    const lastLine = Math.max(0, strip.terminals.length - 1);
    const top = frame.lineY(index, 0, 0) - 17;
    const bottom = frame.lineY(index, frame.levelsOf(index) - 1, lastLine) + 11;
    const words = strip.cover === 'fitted' ? TEXTS.covered : TEXTS.coverMissing;
    return [
      {
        stripId: strip.id,
        state: strip.cover,
        rect: { x: x + 7, y: top, width: frame.stripPx - 14, height: bottom - top },
        text: plannedText(frame.measure, words, { x: x + 10, baseline: bottom + 13 }, size.NOTE),
      },
    ];
  });
}
