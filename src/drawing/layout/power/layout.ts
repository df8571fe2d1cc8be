/** Power scene → positions: a tree that grows to the right, each node level with the first of what it feeds. */
import { formatNumber } from '../../../model/quantity.js';
import type { PowerLoad, PowerNode, PowerScene, PowerTap } from '../../scene/power-scene.js';
import type { Mark, SceneTitle } from '../../scene/scene.js';
import { TEXTS } from '../../texts.js';
import type { Point, Rect } from '../geometry.js';
import {
  anchored,
  badgeOf,
  fittedText,
  plannedText,
  type PlannedBadge,
  type PlannedFinding,
  type PlannedText,
  type TextLook,
} from '../planned.js';
import { layoutPlot, PLOT_HEIGHT, PLOT_WIDTH, type PlannedPlot } from '../plot.js';
import {
  BADGE,
  HEADER_HEIGHT,
  LEAST_WIDTH,
  MARGIN,
  placeFindingList,
  placeHeader,
  placeLegend,
  sheetMark,
  type PlannedLegendItem,
} from '../sheet.js';
import type { TextMeasure } from '../text-measure.js';

export type Use = 'normal' | 'near' | 'over';

export interface PlannedBar {
  readonly rect: Rect;
  /** Width of the filled part: never wider than the bar. */
  readonly filledPx: number;
  readonly use: Use;
}

export interface PlannedNode {
  readonly id: string;
  readonly kind: PowerNode['kind'];
  readonly rect: Rect;
  readonly texts: readonly PlannedText[];
  readonly bar: PlannedBar | undefined;
  readonly use: Use;
  readonly existing: boolean;
  readonly mark: Mark;
  readonly description: string;
}

export interface PlannedTap {
  readonly id: string;
  readonly rect: Rect;
  readonly texts: readonly PlannedText[];
  readonly broken: boolean;
  readonly mark: Mark;
  readonly description: string;
}

/** A list of inlets with its column titles. */
export interface PlannedTaps {
  readonly rect: Rect;
  readonly headings: readonly PlannedText[];
  readonly headingBottom: number;
  readonly rows: readonly PlannedTap[];
}

export type PowerLegendKey =
  'loadNormal' | 'loadNear' | 'loadOver' | 'limit' | 'error' | 'warning' | 'hint';

export interface PowerPlan {
  readonly view: 'power';
  readonly sheet: SceneTitle;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly header: readonly PlannedText[];
  readonly nodes: readonly PlannedNode[];
  readonly lists: readonly PlannedTaps[];
  /** From a node to what it feeds. */
  readonly links: readonly (readonly Point[])[];
  readonly plots: readonly PlannedPlot[];
  readonly badges: readonly PlannedBadge[];
  readonly legend: readonly PlannedLegendItem<PowerLegendKey>[];
  readonly findings: readonly PlannedFinding[];
  readonly footerTexts: readonly PlannedText[];
}

const NODE_WIDTH = 218;
const COLUMN = NODE_WIDTH + 40;
const ROW_GAP = 12;
const ROOT_GAP = 26;
const LIST_ROW = 18;
const LIST_HEADING = 18;
/** Right edges of a list's columns, from its left edge. */
const LIST = { name: 150, load: 210, voltage: 272, least: 330, margin: 386 } as const;
const LIST_WIDTH = 396;
/** Where a line turns down, left of what it feeds. */
const TURN = 20;
const NEAR = 0.8;
const COLUMN_GAP = 36;
const LEAST_COLUMN = 900;
/** Breadth against height that a picture of many trees aims at, as of a sheet across. */
const ASPECT = 1.4;
const INDENT = 14;

const TAG: TextLook = { sizePx: 12.5, weight: 700, tone: 'ink' };
const VALUE: TextLook = { sizePx: 11.5, weight: 700, tone: 'ink' };
const LINE: TextLook = { sizePx: 10.5, weight: 400, tone: 'ink' };
const QUIET: TextLook = { sizePx: 10.5, weight: 400, tone: 'muted' };
const HEADING: TextLook = { sizePx: 9.5, weight: 400, tone: 'muted' };

export function layoutPower(scene: PowerScene, measure: TextMeasure): PowerPlan {
  const tree = new TreePlacer(measure);
  let y = placeRoots(tree, scene.roots, measure, HEADER_HEIGHT + 14);
  const onSheet = scene.findings.filter(({ at }) => at.kind === 'sheet').length;
  const asked = placeHeader(scene.sheet, onSheet, measure, 0).widthPx;
  const plotsPx = 2 * MARGIN + Math.min(3, scene.profiles.length) * (PLOT_WIDTH + 24) - 24;
  const widthPx = Math.ceil(Math.max(LEAST_WIDTH, asked, tree.right + MARGIN, plotsPx));
  const header = placeHeader(scene.sheet, onSheet, measure, widthPx);
  const perRow = Math.max(1, Math.floor((widthPx - 2 * MARGIN + 24) / (PLOT_WIDTH + 24)));
  const plots = scene.profiles.map((profile, index) =>
    layoutPlot(profile, measure, {
      x: MARGIN + (index % perRow) * (PLOT_WIDTH + 24),
      y: y + Math.floor(index / perRow) * (PLOT_HEIGHT + 22),
    }),
  );
  y += Math.ceil(plots.length / perRow) * (PLOT_HEIGHT + 22) + 14;
  const legend = placeLegend(legendOf(scene, tree.nodes), measure, y, widthPx);
  const list = placeFindingList(scene.findings, measure, legend.bottom + 20, widthPx);
  let extra = 0;
  return {
    view: 'power',
    sheet: scene.sheet,
    widthPx,
    heightPx: list.bottom,
    header: header.texts,
    nodes: tree.nodes,
    lists: tree.lists,
    links: tree.links,
    plots,
    badges: scene.findings.map((finding, index) => {
      const at = finding.at.kind === 'node' ? tree.badgePlace(finding.at.id) : undefined;
      return badgeOf(index + 1, finding, at ?? sheetMark(header, extra++));
    }),
    legend: legend.items,
    findings: list.findings,
    footerTexts: list.texts,
  };
}

/** Trees below each other, in as many columns as keep the picture broader than it is high. */
function placeRoots(
  tree: TreePlacer,
  roots: readonly PowerNode[],
  measure: TextMeasure,
  top: number,
): number {
  const extent = (node: PowerNode) => {
    const trial = new TreePlacer(measure);
    return { height: trial.place(node, 0, 0), width: trial.right };
  };
  const whole = roots.map((node) => ({ node, ...extent(node) }));
  const total = whole.reduce((sum, { height }) => sum + height + ROOT_GAP, 0);
  const width = Math.max(0, ...whole.map((one) => one.width)) + COLUMN_GAP;
  const columns = Math.max(1, Math.round(Math.sqrt((total * ASPECT) / Math.max(1, width))));
  const most = Math.max(LEAST_COLUMN, total / columns);
  const pieces = roots.flatMap((node) => piecesOf(node, most, extent));
  let x = MARGIN;
  let y = top;
  let bottom = top;
  let columnRight = x;
  for (const node of pieces) {
    const { height } = extent(node);
    if (y > top && y - top + height > most * 1.05) {
      x = columnRight + COLUMN_GAP;
      y = top;
    }
    tree.right = x;
    y = tree.place(node, x, y) + ROOT_GAP;
    columnRight = Math.max(columnRight, tree.right);
    bottom = Math.max(bottom, y);
  }
  tree.right = columnRight;
  return bottom;
}

/** A tree that is higher than a column goes on in the next one under the same name. */
function piecesOf(
  node: PowerNode,
  most: number,
  extent: (node: PowerNode) => { readonly height: number },
): PowerNode[] {
  if (node.children.length < 2 || extent(node).height <= most) return [node];
  const pieces: PowerNode[] = [];
  let children: PowerNode[] = [];
  let height = 0;
  const close = (taps: PowerNode['taps']) => {
    const isFirst = pieces.length === 0;
    pieces.push({
      ...node,
      children,
      taps,
      ...(isFirst
        ? {}
        : { id: `${node.id} ${pieces.length}`, title: TEXTS.continued, load: undefined }),
    });
    children = [];
    height = 0;
  };
  for (const child of node.children) {
    const own = extent(child).height + ROW_GAP;
    if (children.length > 0 && height + own > most) close([]);
    children.push(child);
    height += own;
  }
  close(node.taps);
  return pieces;
}

function legendOf(scene: PowerScene, nodes: readonly PlannedNode[]) {
  const has = (use: Use) => nodes.some((node) => node.bar !== undefined && node.use === use);
  const keys: PowerLegendKey[] = [
    ...(has('normal') ? ['loadNormal' as const] : []),
    ...(has('near') ? ['loadNear' as const] : []),
    ...(has('over') ? ['loadOver' as const] : []),
    ...(scene.profiles.some(({ least }) => least !== undefined) ? ['limit' as const] : []),
    ...(['error', 'warning', 'hint'] as const).filter((severity) =>
      scene.findings.some((finding) => finding.severity === severity),
    ),
  ];
  return keys.map((key) => ({ key, text: TEXTS.legendItems[key] }));
}

class TreePlacer {
  readonly nodes: PlannedNode[] = [];
  readonly lists: PlannedTaps[] = [];
  readonly links: Point[][] = [];
  right = 0;
  readonly #measure: TextMeasure;
  readonly #badges = new Map<string, { readonly at: Point; used: number }>();

  constructor(measure: TextMeasure) {
    this.#measure = measure;
  }

  /** Places a node and what it feeds; gives the lower edge of all of it. */
  place(node: PowerNode, x: number, top: number): number {
    const planned = this.#node(node, x, top);
    const { rect } = planned;
    this.nodes.push(planned);
    this.right = Math.max(this.right, rect.x + rect.width);
    this.#badges.set(node.id, { at: { x: rect.x + rect.width - 12, y: rect.y }, used: 0 });
    const from = { x: rect.x + rect.width, y: rect.y + 22 };
    const childX = x + COLUMN;
    let y = top;
    for (const child of node.children) {
      this.#link(from, childX, y + 22);
      y = this.place(child, childX, y) + ROW_GAP;
    }
    if (node.taps.length > 0) {
      this.#link(from, childX, y + 22);
      y = this.#list(node.taps, childX, y) + ROW_GAP;
    }
    return Math.max(rect.y + rect.height, y - ROW_GAP);
  }

  badgePlace(id: string): Point | undefined {
    const place = this.#badges.get(id);
    if (place === undefined) return undefined;
    const { at, used } = place;
    place.used += 1;
    return { x: at.x - used * (BADGE + 1), y: at.y };
  }

  #link(from: Point, x: number, y: number): void {
    const turn = x - TURN;
    this.links.push(
      y === from.y ? [from, { x, y }] : [from, { x: turn, y: from.y }, { x: turn, y }, { x, y }],
    );
  }

  #node(node: PowerNode, x: number, top: number): PlannedNode {
    const measure = this.#measure;
    const { load, supplied } = node;
    const left = x + 9;
    const right = x + NODE_WIDTH - 9;
    const inside = right - left;
    const value = load === undefined ? '' : loadText(load);
    const amount = plannedText(measure, value, { x: right, baseline: top + 18 }, VALUE);
    const tagPx = inside - (value === '' ? 0 : amount.widthPx + 10);
    const kind = TEXTS.nodeKinds[node.kind];
    const title = node.title === '' ? kind : node.title;
    const texts = [
      fittedText(measure, node.tag, { x: left, baseline: top + 18 }, TAG, tagPx),
      ...(value === '' ? [] : [anchored(amount, 'end')]),
      fittedText(measure, title, { x: left, baseline: top + 34 }, QUIET, inside),
    ];
    let y = top + 42;
    if (supplied !== undefined) {
      const name = supplied.name.slice(supplied.name.lastIndexOf('.') + 1);
      const text = TEXTS.suppliedWith(name, voltageText(supplied));
      texts.push(fittedText(measure, text, { x: left, baseline: y + 8 }, LINE, inside));
      y += 16;
    }
    const ratio = ratioOf(load);
    const use = ratio === undefined || ratio <= NEAR ? 'normal' : ratio <= 1 ? 'near' : 'over';
    let bar: PlannedBar | undefined;
    if (ratio !== undefined) {
      const margin = TEXTS.marginLeft(percent(1 - ratio));
      const label = plannedText(measure, margin, { x: right, baseline: y + 9 }, LINE);
      texts.push(anchored(label, 'end'));
      const width = inside - label.widthPx - 10;
      bar = {
        rect: { x: left, y: y + 1, width, height: 9 },
        filledPx: Math.max(0, Math.min(1, ratio)) * width,
        use,
      };
      y += 14;
    }
    return {
      id: node.id,
      kind: node.kind,
      rect: { x, y: top, width: NODE_WIDTH, height: y + 4 - top },
      texts,
      bar,
      use,
      existing: node.existing,
      mark: node.mark,
      description: [
        node.tag,
        kind,
        node.title,
        value,
        ratio === undefined ? '' : TEXTS.marginLeft(percent(1 - ratio)),
      ]
        .filter((text) => text !== '')
        .join(', '),
    };
  }

  #list(taps: readonly PowerTap[], x: number, top: number): number {
    const measure = this.#measure;
    const right = (edge: number, text: string, baseline: number, look: TextLook) =>
      anchored(plannedText(measure, text, { x: x + edge, baseline }, look), 'end');
    const { columns } = TEXTS;
    const head = top + 13;
    const headings = [
      plannedText(measure, columns.inlet, { x: x + 8, baseline: head }, HEADING),
      ...(['load', 'voltage', 'least', 'margin'] as const).map((column) =>
        right(LIST[column], columns[column], head, HEADING),
      ),
    ];
    const rows = taps.map((tap, index): PlannedTap => {
      const y = top + LIST_HEADING + index * LIST_ROW;
      const baseline = y + 13;
      const margin = marginOf(tap);
      const broken = margin !== undefined && margin < 0;
      const cells: readonly (readonly [number, string])[] = [
        [LIST.load, tap.load === undefined ? TEXTS.unknown : amountText(tap.load)],
        [LIST.voltage, voltageText(tap)],
        [
          LIST.least,
          tap.voltage.leastV === undefined ? '' : `${formatNumber(tap.voltage.leastV, 1)} V`,
        ],
        [LIST.margin, margin === undefined ? '' : `${percent(margin)} %`],
      ];
      const look = broken ? { ...LINE, weight: 700 as const } : LINE;
      this.#badges.set(tap.id, { at: { x: x + LIST_WIDTH + 10, y: y + LIST_ROW / 2 }, used: 0 });
      return {
        id: tap.id,
        rect: { x, y, width: LIST_WIDTH, height: LIST_ROW },
        texts: [
          fittedText(
            measure,
            tap.name,
            { x: x + 8 + (tap.behind ? INDENT : 0), baseline },
            look,
            LIST.name - 8 - (tap.behind ? INDENT : 0),
          ),
          ...cells
            .filter(([, text]) => text !== '')
            .map(([edge, text]) => right(edge, text, baseline, look)),
        ],
        broken,
        mark: tap.mark,
        description: [
          tap.name,
          ...cells.map(([, text], at) => {
            const title = (['load', 'voltage', 'least', 'margin'] as const)[at]!;
            return text === '' ? '' : `${columns[title]} ${text}`;
          }),
        ]
          .filter((text) => text !== '')
          .join(', '),
      };
    });
    const height = LIST_HEADING + taps.length * LIST_ROW + 4;
    this.lists.push({
      rect: { x, y: top, width: LIST_WIDTH, height },
      headings,
      headingBottom: top + LIST_HEADING,
      rows,
    });
    this.right = Math.max(this.right, x + LIST_WIDTH + 10 + BADGE);
    return top + height;
  }
}

function ratioOf(load: PowerLoad | undefined): number | undefined {
  const { value, rating } = load ?? {};
  return typeof value !== 'number' || rating === undefined || !(rating > 0)
    ? undefined
    : value / rating;
}

function loadText({ value, unit, rating }: PowerLoad): string {
  const load = value === null ? TEXTS.unknown : formatNumber(value, 2);
  return rating === undefined
    ? `${load} ${unit}`.trim()
    : `${load} / ${formatNumber(rating, 2)} ${unit}`;
}

function amountText({ value, unit }: { readonly value: number; readonly unit: string }): string {
  return `${formatNumber(value, value < 1 ? 3 : 2)} ${unit}`;
}

function voltageText({ voltage }: PowerTap): string {
  return voltage.value === null
    ? `${TEXTS.unknown} V`
    : `${formatNumber(voltage.value, voltage.value < 100 ? 2 : 1)} V`;
}

function marginOf({ voltage }: PowerTap): number | undefined {
  const { value, leastV } = voltage;
  return value === null || leastV === undefined || !(leastV > 0)
    ? undefined
    : (value - leastV) / leastV;
}

/** Whole per cents, rounded so that a broken limit never reads as kept. */
function percent(margin: number): string {
  const text = String(Math.abs(Math.floor(margin * 100 + 1e-9)));
  return margin < -1e-9 ? `−${text}` : text;
}
