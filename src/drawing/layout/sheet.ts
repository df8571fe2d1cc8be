/** What stands around every picture: the title above, legend, list of findings and cautions below. */
import type { SceneFinding, SceneTitle } from '../scene/scene.js';
import { TEXTS } from '../texts.js';
import type { Point } from './geometry.js';
import {
  anchored,
  badgeOf,
  fittedText,
  plannedText,
  type PlannedFinding,
  type PlannedText,
  type TextLook,
} from './planned.js';
import { wrapText, type TextMeasure } from './text-measure.js';

export const MARGIN = 20;
export const HEADER_HEIGHT = 66;
export const LEAST_WIDTH = 720;
export const BADGE = 16;

const TITLE: TextLook = { sizePx: 20, weight: 700, tone: 'ink' };
const HEADING: TextLook = { sizePx: 13, weight: 700, tone: 'ink' };
const LINE: TextLook = { sizePx: 11.5, weight: 400, tone: 'ink' };
const STRONG: TextLook = { ...LINE, weight: 700 };
const QUIET: TextLook = { ...LINE, tone: 'muted' };
const LINE_PX = 17;

export interface PlacedHeader {
  readonly texts: readonly PlannedText[];
  /** End of the title, where marks about the whole sheet stand. */
  readonly end: Point;
  /** Width that the title needs. */
  readonly widthPx: number;
}

/** Title at the left; drawing number, revision and owner at the right edge. */
export function placeHeader(
  sheet: SceneTitle,
  sheetMarks: number,
  measure: TextMeasure,
  widthPx: number,
): PlacedHeader {
  const title = plannedText(measure, sheet.title, { x: MARGIN, baseline: 33 }, TITLE);
  const subtitle = plannedText(measure, sheet.subtitle, { x: MARGIN, baseline: 52 }, QUIET);
  const numbers = [
    sheet.drawing === undefined ? '' : TEXTS.drawingNumber(sheet.drawing),
    sheet.revision === undefined ? '' : TEXTS.revision(sheet.revision),
  ].filter((text) => text !== '');
  const right = [
    { text: numbers.join(' · '), look: STRONG, baseline: 33 },
    { text: sheet.owner ?? '', look: QUIET, baseline: 52 },
  ]
    .filter(({ text }) => text !== '')
    .map(({ text, look, baseline }) =>
      anchored(plannedText(measure, text, { x: widthPx - MARGIN, baseline }, look), 'end'),
    );
  const leftPx = Math.max(title.widthPx + sheetMarks * (BADGE + 2) + 30, subtitle.widthPx);
  const rightPx = Math.max(0, ...right.map((text) => text.widthPx));
  return {
    texts: [title, subtitle, ...right],
    end: { x: MARGIN + title.widthPx, y: 26 },
    widthPx: Math.ceil(2 * MARGIN + leftPx + rightPx + 40),
  };
}

/** Middle of the next mark behind the title. */
export function sheetMark(header: PlacedHeader, index: number): Point {
  return { x: header.end.x + 14 + index * (BADGE + 2), y: header.end.y };
}

export interface PlannedLegendItem<Key extends string> {
  readonly key: Key;
  /** Where its sample stands: left end, middle height. */
  readonly sample: Point;
  readonly text: PlannedText;
}

export const SAMPLE_PX = 36;

/** Samples with their words, in lines from left to right. Gives also the height below them. */
export function placeLegend<Key extends string>(
  items: readonly { readonly key: Key; readonly text: string }[],
  measure: TextMeasure,
  top: number,
  widthPx: number,
): { readonly items: PlannedLegendItem<Key>[]; readonly bottom: number } {
  const placed: PlannedLegendItem<Key>[] = [];
  let x = MARGIN;
  let y = top;
  for (const { key, text } of items) {
    const planned = plannedText(measure, text, { x: 0, baseline: y + 4 }, LINE);
    const itemPx = SAMPLE_PX + 8 + planned.widthPx + 26;
    if (x > MARGIN && x + itemPx > widthPx - MARGIN) {
      x = MARGIN;
      y += 24;
    }
    placed.push({
      key,
      sample: { x, y },
      text: { ...planned, x: x + SAMPLE_PX + 8, baseline: y + 4 },
    });
    x += itemPx;
  }
  return { items: placed, bottom: items.length === 0 ? top : y + 14 };
}

/** Heading, numbered findings in as many columns as have room, then the usual caution. */
export function placeFindingList(
  findings: readonly SceneFinding[],
  measure: TextMeasure,
  top: number,
  widthPx: number,
): {
  readonly findings: readonly PlannedFinding[];
  readonly texts: readonly PlannedText[];
  readonly bottom: number;
} {
  const insidePx = widthPx - 2 * MARGIN;
  const texts = [plannedText(measure, TEXTS.findings, { x: MARGIN, baseline: top }, HEADING)];
  let y = top + 22;
  const list = placeColumns(findings, measure, y, insidePx);
  if (findings.length === 0) {
    texts.push(plannedText(measure, TEXTS.noFindings, { x: MARGIN, baseline: y }, QUIET));
    y += LINE_PX;
  } else {
    y = list.bottom;
  }
  y += 10;
  for (const line of wrapText(measure, TEXTS.caution, QUIET.sizePx, QUIET.weight, insidePx)) {
    texts.push(plannedText(measure, line, { x: MARGIN, baseline: y }, QUIET));
    y += LINE_PX;
  }
  return { findings: list.planned, texts, bottom: Math.ceil(y + 8) };
}

function placeColumns(
  findings: readonly SceneFinding[],
  measure: TextMeasure,
  top: number,
  insidePx: number,
): { planned: PlannedFinding[]; bottom: number } {
  const columns = Math.max(1, Math.min(4, Math.floor(insidePx / 560), findings.length));
  const columnPx = (insidePx - (columns - 1) * 24) / columns;
  const perColumn = Math.ceil(findings.length / columns);
  const planned: PlannedFinding[] = [];
  let bottom = top;
  for (let column = 0; column < columns; column++) {
    const x = MARGIN + column * (columnPx + 24);
    let y = top;
    const end = Math.min(findings.length, (column + 1) * perColumn);
    for (let index = column * perColumn; index < end; index++) {
      const finding = findings[index];
      if (!finding) continue;
      const textPx = columnPx - 26;
      const heading = [TEXTS.severity[finding.severity], finding.rule, finding.subject].join('  ');
      const lines = wrapText(measure, finding.message, LINE.sizePx, LINE.weight, textPx);
      planned.push({
        number: index + 1,
        finding,
        badge: badgeOf(index + 1, finding, { x: x + BADGE / 2, y: y - 4 }),
        texts: [
          fittedText(measure, heading, { x: x + 26, baseline: y }, STRONG, textPx),
          ...lines.map((line, at) =>
            fittedText(
              measure,
              line,
              { x: x + 26, baseline: y + (at + 1) * LINE_PX },
              LINE,
              textPx,
            ),
          ),
        ],
        rect: { x, y: y - 14, width: columnPx, height: (lines.length + 1) * LINE_PX },
      });
      y += (lines.length + 1) * LINE_PX + 6;
    }
    bottom = Math.max(bottom, y);
  }
  return { planned, bottom };
}
