import { TEXTS } from '../../texts.js';
import { placeFindingList, placeLegend, type PlannedLegendItem } from '../sheet.js';
import type { PlannedFinding, PlannedText } from '../planned.js';
import type { AssembleContext } from './assemble.js';
import type { LegendKey, PlannedSymbol, PlannedWire } from './plan.js';

export interface PlacedFooter {
  readonly legend: readonly PlannedLegendItem<LegendKey>[];
  readonly findings: readonly PlannedFinding[];
  readonly texts: readonly PlannedText[];
  readonly bottomPx: number;
}

interface Drawn {
  readonly wires: readonly PlannedWire[];
  readonly symbols: readonly PlannedSymbol[];
  readonly widthPx: number;
}

export function placeFooter(context: AssembleContext, drawn: Drawn): PlacedFooter {
  const { measure, scene, geometry } = context;
  const legend = placeLegend(
    legendKeys(context, drawn).map((key) => ({ key, text: TEXTS.legendItems[key] })),
    measure,
    geometry.heightPx + 30,
    drawn.widthPx,
  );
  const list = placeFindingList(scene.findings, measure, legend.bottom + 24, drawn.widthPx);
  return {
    legend: legend.items,
    findings: list.findings,
    texts: list.texts,
    bottomPx: list.bottom,
  };
}

/** Only what the picture shows is explained. */
function legendKeys(context: AssembleContext, drawn: Drawn): LegendKey[] {
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
  for (const state of ['found', 'missing', 'open'] as const) {
    if (context.scene.devices.some(({ seen }) => seen === state)) keys.push(`seen-${state}`);
  }
  return keys;
}
