/** Texts and natural sizes of the boxes, before anything has a position. */
import type { SceneBoard, SceneDevice, TopologyScene } from '../../scene/scene.js';
import { TEXTS } from '../../texts.js';
import { BADGE } from '../sheet.js';
import type { TextMeasure } from '../text-measure.js';
import { badgeRowPx } from './badge-counts.js';
import type { Cell, Grid } from './grid.js';
import type { Placement, StripItem } from './placement.js';
import {
  BOX_HEIGHT,
  BOX_LEAST_WIDTH,
  BOX_MOST_WIDTH,
  BOX_PAD,
  DETAIL_PX,
  ICON,
  LABEL_GAP,
  LABEL_MARGINS,
  LABEL_PX,
  PILL_PAD,
  PORT_NAME_ROOM,
  SATELLITE_HEIGHT,
  SATELLITE_LEAST_WIDTH,
  SATELLITE_PAD,
  SATELLITE_TAG_PX,
  STRIP_LEAST_WIDTH,
  STRIP_MOST_WIDTH,
  STRIP_ROW,
  TAG_PX,
} from './sizes.js';
import { boardBoxId, type LabelContent, type StripPin, type Wiring } from './wiring.js';
import { clusterKey, type Cluster, type ClusterKey } from './clusters.js';

/** Addresses, expected count and "existing", as one line. */
export function factsOf(device: SceneDevice, hostAddresses: readonly string[]): string {
  return [
    ...(device.addresses.length === 0 ? [] : [TEXTS.addresses(device.addresses)]),
    ...hostAddresses,
    ...(device.finds === undefined ? [] : [TEXTS.finds(device.finds)]),
    ...(device.existing ? [TEXTS.existing] : []),
  ].join(' · ');
}

/** IP addresses by device, in the order of its networks. */
export function hostAddressesOf(scene: TopologyScene): ReadonlyMap<string, readonly string[]> {
  const addresses = new Map<string, string[]>();
  for (const network of scene.networks) {
    for (const host of network.hosts) {
      const list = addresses.get(host.deviceId);
      if (list) list.push(host.address);
      else addresses.set(host.deviceId, [host.address]);
    }
  }
  return addresses;
}

/** A row of a box in a side strip: a pin with the name of its port, inlet, outlet or way. */
export interface StripRow {
  readonly text: string;
  readonly pin: StripPin | undefined;
}

export interface StripBox {
  readonly id: string;
  readonly item: StripItem;
  readonly title: string;
  readonly facts: string;
  readonly headerPx: number;
  readonly rows: readonly StripRow[];
  readonly outerPins: readonly StripPin[];
  readonly widthPx: number;
  readonly heightPx: number;
}

export function stripBoxes(
  placement: Placement,
  wiring: Wiring,
  scene: TopologyScene,
  badges: ReadonlyMap<string, number>,
  measure: TextMeasure,
): ReadonlyMap<string, StripBox> {
  const hostAddresses = hostAddressesOf(scene);
  const pinsOf = new Map<string, StripPin[]>();
  for (const pin of wiring.pins) {
    const list = pinsOf.get(pin.boxId);
    if (list) list.push(pin);
    else pinsOf.set(pin.boxId, [pin]);
  }
  const boxes = new Map<string, StripBox>();
  for (const item of [...placement.left, ...placement.right].flat()) {
    const id = item.kind === 'board' ? boardBoxId(item.board.id) : item.device.id;
    const pins = pinsOf.get(id) ?? [];
    const inner = pins.filter((pin) => pin.edge === 'inner');
    const outer = pins.filter((pin) => pin.edge === 'outer');
    const rows = item.kind === 'board' ? boardRows(item.board, inner) : deviceRows(inner);
    const title = item.kind === 'board' ? item.board.title : item.device.title;
    const facts =
      item.kind === 'board'
        ? item.board.existing
          ? TEXTS.existing
          : ''
        : factsOf(item.device, hostAddresses.get(item.device.id) ?? []);
    const tag = item.kind === 'board' ? item.board.tag : item.device.tag;
    const headerPx = 24 + (title === '' ? 0 : 13) + (facts === '' ? 0 : 13) + 4;
    const naturalPx =
      2 * BOX_PAD +
      Math.max(
        ICON + 6 + measure.width(tag, TAG_PX, 700),
        measure.width(title, DETAIL_PX, 400),
        measure.width(facts, DETAIL_PX, 400),
        ...rows.map((row) => measure.width(row.text, DETAIL_PX, 400)),
      );
    boxes.set(id, {
      id,
      item,
      title,
      facts,
      headerPx,
      rows,
      outerPins: outer,
      widthPx: Math.max(
        Math.ceil(Math.min(STRIP_MOST_WIDTH, Math.max(STRIP_LEAST_WIDTH, naturalPx))),
        badgeRowPx(badges.get(id) ?? 0),
      ),
      heightPx: Math.max(
        headerPx + rows.length * STRIP_ROW + (rows.length > 0 ? 4 : 0),
        16 + outer.length * STRIP_ROW,
      ),
    });
  }
  return boxes;
}

function deviceRows(pins: readonly StripPin[]): StripRow[] {
  const groups = new Map<string, StripPin[]>();
  for (const pin of pins) {
    const list = groups.get(pin.member);
    if (list) list.push(pin);
    else groups.set(pin.member, [pin]);
  }
  return [...groups.values()].flatMap((group) =>
    group.map((pin, index): StripRow => ({ text: index === 0 ? pin.member : '', pin })),
  );
}

function boardRows(board: SceneBoard, pins: readonly StripPin[]): StripRow[] {
  const waysById = new Set(board.ways.map((way) => way.tag));
  const rows: StripRow[] = pins
    .filter((pin) => !waysById.has(pin.member))
    .map((pin) => ({ text: pin.member, pin }));
  for (const way of board.ways) {
    const text = [way.tag, way.text, ...(way.existing ? [TEXTS.existing] : [])].join('  ');
    const own = pins.filter((pin) => pin.member === way.tag);
    if (own.length === 0) rows.push({ text, pin: undefined });
    own.forEach((pin, index) => rows.push({ text: index === 0 ? text : '', pin }));
  }
  return rows;
}

/** Sizes of the boxes of the field. */
export interface FieldSizes {
  /** Width of each column, by slice and column. */
  readonly columnPx: readonly (readonly number[])[];
  readonly boxPx: number;
  readonly satellitePx: number;
  boxHeightPx(cell: Cell): number;
  satelliteHeightPx(cell: Cell, satellite: number): number;
}

export interface FieldInput {
  readonly grid: Grid;
  readonly wiring: Wiring;
  readonly clusters: ReadonlyMap<ClusterKey, Cluster>;
  readonly hostAddresses: ReadonlyMap<string, readonly string[]>;
  /** Marks of findings at each box. */
  readonly badges: ReadonlyMap<string, number>;
  readonly measure: TextMeasure;
}

export function fieldSizes(input: FieldInput): FieldSizes {
  const { grid, wiring, clusters, hostAddresses, badges, measure } = input;
  const cells = [...grid.cellOfDevice.values()];
  const factsPx = (device: SceneDevice) =>
    measure.width(factsOf(device, hostAddresses.get(device.id) ?? []), DETAIL_PX, 400);
  const natural = (device: SceneDevice) =>
    2 * BOX_PAD + Math.max(ICON + 6 + measure.width(device.tag, TAG_PX, 700), factsPx(device));
  const naturalSatellite = (device: SceneDevice) =>
    2 * SATELLITE_PAD +
    ICON +
    6 +
    Math.max(measure.width(device.tag, SATELLITE_TAG_PX, 700), factsPx(device));
  const satelliteBadgesPx = cells.flatMap((cell) =>
    cell.satellites.map((device) => badgeRowPx(badges.get(device.id) ?? 0)),
  );
  const clamp = (width: number, least: number) =>
    Math.ceil(Math.min(BOX_MOST_WIDTH, Math.max(least, width)));
  const satelliteWidths = cells.flatMap((cell) => cell.satellites.map(naturalSatellite));
  const satellitePx = Math.max(
    clamp(
      Math.max(0, ...satelliteWidths, ...gapLabelWidths(wiring, measure)),
      SATELLITE_LEAST_WIDTH,
    ),
    ...gapLabelWidths(wiring, measure).map(Math.ceil),
    ...satelliteBadgesPx,
  );
  const widthOf = (cell: Cell, side: 'bottom' | 'inner' | 'feed') =>
    clusters.get(clusterKey(cell, side))?.widthPx ?? 0;
  const boxPx = Math.max(
    clamp(Math.max(0, ...cells.map((cell) => natural(cell.device))), BOX_LEAST_WIDTH),
    ...cells
      .filter((cell) => cell.satellites.length > 0)
      .map(
        (cell) =>
          28 +
          satellitePx +
          Math.max(11, widthOf(cell, 'inner')) +
          Math.max(12, widthOf(cell, 'feed')),
      ),
  );
  const columnPx = Array.from({ length: grid.slices }, () => Array<number>(grid.columns).fill(0));
  for (const cell of cells) {
    const needs = Math.ceil(
      Math.max(
        boxPx,
        widthOf(cell, 'bottom') + 16,
        widthOf(cell, 'inner') + widthOf(cell, 'feed') + 24,
      ),
    );
    const row = columnPx[cell.slice];
    if (row) row[cell.column] = Math.max(row[cell.column] ?? 0, needs);
  }
  // Labels of inner channels stand inside their column, left of the feed lines that come down there.
  for (const { label } of wiring.spans) {
    if (label?.slot.side !== 'inner' || label.direction < 0) continue;
    const { cell } = label.slot;
    const feedPx = widthOf(cell, 'feed');
    if (feedPx === 0) continue;
    const needs =
      widthOf(cell, 'inner') + labelWidth(label.content, measure) + LABEL_MARGINS + feedPx + 16;
    const row = columnPx[cell.slice];
    if (row) row[cell.column] = Math.max(row[cell.column] ?? 0, Math.ceil(needs));
  }
  return {
    columnPx,
    boxPx,
    satellitePx,
    boxHeightPx: (cell) =>
      BOX_HEIGHT +
      ((clusters.get(clusterKey(cell, 'bottom'))?.ports.length ?? 0) > 1 ? PORT_NAME_ROOM : 0),
    satelliteHeightPx: (cell, satellite) => {
      const id = cell.satellites[satellite]?.id;
      const pins = (side: 'inner' | 'feed') =>
        clusters.get(clusterKey(cell, side))?.slots.filter((slot) => slot.ownerId === id).length ??
        0;
      return Math.max(SATELLITE_HEIGHT, 10 + 9 * Math.max(pins('inner'), pins('feed')));
    },
  };
}

/** Labels under a satellite stand side by side, as wide as it at most. */
function gapLabelWidths(wiring: Wiring, measure: TextMeasure): number[] {
  const widths = new Map<string, number>();
  for (const { cell, satellite, content } of wiring.gapLabels) {
    const key = `${cell.device.id}\u0001${satellite}`;
    widths.set(key, (widths.get(key) ?? 4) + labelWidth(content, measure) + LABEL_GAP);
  }
  return [...widths.values()];
}

/** Width of a label: pill, text and marks of findings side by side. */
export function labelWidth(content: LabelContent, measure: TextMeasure): number {
  const parts: number[] = [];
  if (content.pill) parts.push(pillWidth(content.pill.text, measure));
  if (content.text !== '') parts.push(measure.width(content.text, LABEL_PX, 400));
  for (let index = 0; index < content.findings.length; index++) parts.push(BADGE);
  return parts.reduce((sum, part) => sum + part, 0) + LABEL_GAP * Math.max(0, parts.length - 1);
}

export function pillWidth(text: string, measure: TextMeasure): number {
  return measure.width(text, LABEL_PX, 700) + 2 * PILL_PAD;
}
