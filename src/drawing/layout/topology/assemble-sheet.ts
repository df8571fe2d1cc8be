import { TEXTS } from '../../texts.js';
import type { Point } from '../geometry.js';
import { fitText, wrapText } from '../text-measure.js';
import type { AssembleContext } from './assemble.js';
import { badgeOf } from './assemble-badges.js';
import { plannedText } from './assemble-boxes.js';
import type { LabelWithMarks } from './assemble-wires.js';
import type {
  LegendKey,
  PlannedFinding,
  PlannedLegendItem,
  PlannedSymbol,
  PlannedText,
  PlannedWire,
} from './plan.js';
import * as size from './sizes.js';

export interface PlacedHeader {
  readonly texts: readonly PlannedText[];
  /** End of the title, where marks about the whole sheet stand. */
  readonly end: Point;
  readonly widthPx: number;
}

/** Title at the left; drawing number, revision and owner at the right. */
export function placeHeader(context: AssembleContext, widthPx = 0): PlacedHeader {
  const { sheet, findings } = context.scene;
  const title = plannedText(context, sheet.title, size.MARGIN, 33, size.TITLE_PX, 700, 'ink');
  const subtitle = plannedText(
    context,
    sheet.subtitle,
    size.MARGIN,
    52,
    size.LIST_PX,
    400,
    'muted',
  );
  const right = [
    [
      sheet.drawing === undefined ? '' : TEXTS.drawingNumber(sheet.drawing),
      sheet.revision === undefined ? '' : TEXTS.revision(sheet.revision),
    ]
      .filter((text) => text !== '')
      .join(' · '),
    sheet.owner ?? '',
  ].filter((text) => text !== '');
  const rightTexts = right.map((text, index): PlannedText => {
    const planned = plannedText(
      context,
      text,
      widthPx - size.MARGIN,
      33 + 19 * index,
      size.LIST_PX,
      index === 0 ? 700 : 400,
      index === 0 ? 'ink' : 'muted',
    );
    return { ...planned, anchor: 'end' };
  });
  const marksPx =
    findings.filter(
      ({ at }) => at.kind === 'sheet' || at.kind === 'segment' || at.kind === 'network',
    ).length *
    (size.BADGE + 2);
  const leftPx = Math.max(title.widthPx + marksPx + 30, subtitle.widthPx);
  const rightPx = Math.max(0, ...rightTexts.map((text) => text.widthPx));
  return {
    texts: [title, subtitle, ...rightTexts],
    end: { x: size.MARGIN + title.widthPx, y: 26 },
    widthPx: 2 * size.MARGIN + leftPx + rightPx + 40,
  };
}

export interface PlacedFooter {
  readonly legend: readonly PlannedLegendItem[];
  readonly findings: readonly PlannedFinding[];
  readonly texts: readonly PlannedText[];
  readonly bottomPx: number;
}

const SAMPLE_PX = 36;
const LINE_PX = 17;

export function placeFooter(
  context: AssembleContext,
  drawn: {
    readonly wires: readonly PlannedWire[];
    readonly labels: readonly LabelWithMarks[];
    readonly symbols: readonly PlannedSymbol[];
    readonly widthPx: number;
  },
): PlacedFooter {
  const texts: PlannedText[] = [];
  const insidePx = drawn.widthPx - 2 * size.MARGIN;
  let y = context.geometry.heightPx + 30;
  const legend: PlannedLegendItem[] = [];
  let x = size.MARGIN;
  for (const key of legendKeys(context, drawn)) {
    const text = TEXTS.legendItems[key];
    const width = SAMPLE_PX + 8 + context.measure.width(text, size.LIST_PX, 400) + 26;
    if (x > size.MARGIN && x + width > size.MARGIN + insidePx) {
      x = size.MARGIN;
      y += 24;
    }
    legend.push({
      key,
      sample: { x, y },
      text: plannedText(context, text, x + SAMPLE_PX + 8, y + 4, size.LIST_PX, 400, 'ink'),
    });
    x += width;
  }
  y += 38;
  texts.push(plannedText(context, TEXTS.findings, size.MARGIN, y, 13, 700, 'ink'));
  y += 22;
  const list = placeFindings(context, y, insidePx);
  if (list.findings.length === 0) {
    texts.push(plannedText(context, TEXTS.noFindings, size.MARGIN, y, size.LIST_PX, 400, 'muted'));
    y += LINE_PX;
  } else {
    y = list.bottom;
  }
  y += 10;
  for (const line of wrapText(context.measure, TEXTS.caution, size.LIST_PX, 400, insidePx)) {
    texts.push(plannedText(context, line, size.MARGIN, y, size.LIST_PX, 400, 'muted'));
    y += LINE_PX;
  }
  return { legend, findings: list.findings, texts, bottomPx: Math.ceil(y + 8) };
}

/** The list below the picture, in as many columns as have room. */
function placeFindings(context: AssembleContext, top: number, insidePx: number) {
  const { findings } = context.scene;
  const columns = Math.max(1, Math.min(4, Math.floor(insidePx / 560), findings.length));
  const columnPx = (insidePx - (columns - 1) * 24) / columns;
  const perColumn = Math.ceil(findings.length / columns);
  const planned: PlannedFinding[] = [];
  let bottom = top;
  for (let column = 0; column < columns; column++) {
    const x = size.MARGIN + column * (columnPx + 24);
    let y = top;
    for (
      let index = column * perColumn;
      index < Math.min(findings.length, (column + 1) * perColumn);
      index++
    ) {
      const finding = findings[index];
      if (!finding) continue;
      const heading = fitText(
        context.measure,
        [TEXTS.severity[finding.severity], finding.rule, finding.subject].join('  '),
        size.LIST_PX,
        700,
        columnPx - 26,
      );
      const lines = wrapText(context.measure, finding.message, size.LIST_PX, 400, columnPx - 26);
      const texts = [
        plannedText(context, heading, x + 26, y, size.LIST_PX, 700, 'ink'),
        ...lines.map((line, at) =>
          plannedText(context, line, x + 26, y + (at + 1) * LINE_PX, size.LIST_PX, 400, 'ink'),
        ),
      ];
      const height = (lines.length + 1) * LINE_PX;
      planned.push({
        number: index + 1,
        finding,
        badge: badgeOf(index + 1, finding, { x: x + size.BADGE / 2, y: y - 4 }),
        texts,
        rect: { x, y: y - 14, width: columnPx, height },
      });
      y += height + 6;
    }
    bottom = Math.max(bottom, y);
  }
  return { findings: planned, bottom };
}

/** Only what the picture shows is explained. */
function legendKeys(
  context: AssembleContext,
  drawn: {
    readonly wires: readonly PlannedWire[];
    readonly symbols: readonly PlannedSymbol[];
  },
): LegendKey[] {
  const layers = new Set(drawn.wires.map((wire) => wire.layer));
  const symbols = new Set(drawn.symbols.map((symbol) => symbol.kind));
  const severities = new Set(context.findings.map((finding) => finding.severity));
  const isEstimated = context.scene.runs.some((run) =>
    run.segments.some((segment) => segment.length?.estimated),
  );
  const keys: LegendKey[] = [];
  if (layers.has('bus')) keys.push('bus');
  if (layers.has('local')) keys.push('local');
  if (layers.has('feed')) keys.push('feed');
  if (layers.has('branch')) keys.push('branch');
  if (layers.has('ip')) keys.push('ip');
  if (drawn.wires.some((wire) => wire.flagged)) keys.push('flag');
  if (symbols.has('terminator-fitted')) keys.push('fitted');
  if (symbols.has('terminator-missing')) keys.push('missing');
  if (symbols.has('bond')) keys.push('bonded');
  if (isEstimated) keys.push('estimated');
  for (const severity of ['error', 'warning', 'hint'] as const) {
    if (severities.has(severity)) keys.push(severity);
  }
  return keys;
}
