/** IP scene → positions: for each network a map with a field an address, and the list of who has which. */
import { formatAddress } from '../../../analysis/network/ipv4.js';
import type { IpHolder, IpNetwork, IpRange, IpScene } from '../../scene/ip-scene.js';
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
import {
  BADGE,
  HEADER_HEIGHT,
  MARGIN,
  placeFindingList,
  placeHeader,
  placeLegend,
  type PlannedLegendItem,
} from '../sheet.js';
import type { TextMeasure } from '../text-measure.js';

export type FieldUse = 'router' | 'used' | 'laptop' | 'reserved' | 'pool' | 'free';

/** A field of the map: one address, or a block of them. */
export interface PlannedField {
  readonly rect: Rect;
  readonly use: FieldUse;
  /** True where something fixed stands in a pool as well. */
  readonly inPool: boolean;
  readonly text: PlannedText | undefined;
  /** Of the first holder in it. */
  readonly mark: Mark | undefined;
  readonly description: string;
}

export interface PlannedHolder {
  readonly id: string;
  readonly rect: Rect;
  readonly texts: readonly PlannedText[];
  readonly mark: Mark;
  readonly description: string;
}

export interface PlannedNetwork {
  readonly mark: Mark;
  readonly texts: readonly PlannedText[];
  readonly description: string;
  readonly fields: readonly PlannedField[];
  readonly rowNames: readonly PlannedText[];
  readonly holders: readonly PlannedHolder[];
}

export type IpLegendKey =
  'used' | 'router' | 'laptop' | 'pool' | 'free' | 'reserved' | 'error' | 'warning' | 'hint';

export interface IpPlan {
  readonly view: 'ip';
  readonly sheet: SceneTitle;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly header: readonly PlannedText[];
  readonly networks: readonly PlannedNetwork[];
  readonly badges: readonly PlannedBadge[];
  readonly legend: readonly PlannedLegendItem<IpLegendKey>[];
  readonly findings: readonly PlannedFinding[];
  readonly footerTexts: readonly PlannedText[];
}

const FIELD = { width: 29, height: 22 } as const;
const ACROSS = 32;
const ROW_NAME = 92;
/** A map has at most so many fields; larger networks have blocks of addresses in each. */
const MOST_FIELDS = 256;
const LIST_ROW = 18;
const LIST_COLUMN = 330;
const WIDTH = 2 * MARGIN + ROW_NAME + ACROSS * FIELD.width;

const TITLE: TextLook = { sizePx: 14, weight: 700, tone: 'ink' };
const LINE: TextLook = { sizePx: 11, weight: 400, tone: 'ink' };
const STRONG: TextLook = { ...LINE, weight: 700 };
const QUIET: TextLook = { ...LINE, tone: 'muted' };
const SMALL: TextLook = { sizePx: 9.5, weight: 400, tone: 'muted' };
const NUMBER: TextLook = { sizePx: 9.5, weight: 700, tone: 'ink' };

export function layoutIp(scene: IpScene, measure: TextMeasure): IpPlan {
  const widthPx = Math.max(WIDTH, placeHeader(scene.sheet, 0, measure, 0).widthPx);
  const header = placeHeader(scene.sheet, 0, measure, widthPx);
  const places = new Map<string, Point>();
  let y = HEADER_HEIGHT + 16;
  const networks = scene.networks.map((network) => {
    const { planned, bottom } = placeNetwork(network, measure, y, widthPx, places);
    y = bottom + 30;
    return planned;
  });
  const keys = new Set<IpLegendKey>([
    ...networks.flatMap(({ fields }) => fields.map(({ use }) => use)),
    ...scene.findings.map(({ severity }) => severity),
  ]);
  const legend = placeLegend(
    LEGEND.filter((key) => keys.has(key)).map((key) => ({ key, text: TEXTS.legendItems[key] })),
    measure,
    y,
    widthPx,
  );
  const list = placeFindingList(scene.findings, measure, legend.bottom + 20, widthPx);
  const used = new Map<string, number>();
  return {
    view: 'ip',
    sheet: scene.sheet,
    widthPx,
    heightPx: list.bottom,
    header: header.texts,
    networks,
    badges: scene.findings.map((finding, index) => {
      const id = finding.at.kind === 'node' ? finding.at.id : '';
      const count = used.get(id) ?? 0;
      used.set(id, count + 1);
      const at = places.get(id) ?? header.end;
      return badgeOf(index + 1, finding, { x: at.x + count * (BADGE + 1), y: at.y });
    }),
    legend: legend.items,
    findings: list.findings,
    footerTexts: list.texts,
  };
}

const LEGEND: readonly IpLegendKey[] = [
  'router',
  'used',
  'laptop',
  'pool',
  'free',
  'reserved',
  'error',
  'warning',
  'hint',
];

function placeNetwork(
  network: IpNetwork,
  measure: TextMeasure,
  top: number,
  widthPx: number,
  places: Map<string, Point>,
): { readonly planned: PlannedNetwork; readonly bottom: number } {
  const { subnet, counts } = network;
  const title = fittedText(
    measure,
    [network.title, network.prefix].filter((text) => text !== '').join(' · '),
    { x: MARGIN, baseline: top },
    TITLE,
    widthPx - 2 * MARGIN - 8 * BADGE,
  );
  places.set(network.id, { x: MARGIN + title.widthPx + BADGE, y: top - 5 });
  const size = subnet === undefined ? 0 : blockSize(subnet);
  const about =
    subnet === undefined
      ? TEXTS.ip.unread
      : [
          TEXTS.ip.subnet(rangeText(subnet.hosts), subnet.hosts.last - subnet.hosts.first + 1),
          TEXTS.ip.counts(counts.used, counts.pool, counts.free),
          network.vlan === undefined ? '' : TEXTS.ip.vlan(network.vlan),
          TEXTS.ip.cell(size),
        ]
          .filter((text) => text !== '')
          .join(' · ');
  const subtitle = fittedText(
    measure,
    about,
    { x: MARGIN, baseline: top + 18 },
    QUIET,
    widthPx - 2 * MARGIN,
  );
  const mapTop = top + 30;
  const fields = subnet === undefined ? [] : placeFields(network, size, measure, mapTop);
  const rows = Math.ceil(fields.length / ACROSS);
  const rowNames = Array.from({ length: rows }, (_, row) =>
    plannedText(
      measure,
      formatAddress((subnet?.first ?? 0) + row * ACROSS * size),
      { x: MARGIN, baseline: mapTop + row * FIELD.height + 15 },
      SMALL,
    ),
  );
  const listTop = mapTop + rows * FIELD.height + (rows > 0 ? 14 : 0);
  const list = placeHolders(network.holders, measure, listTop, widthPx, places);
  return {
    planned: {
      mark: network.mark,
      texts: [title, subtitle],
      description: [network.title, network.prefix, about].join(', '),
      fields,
      rowNames,
      holders: list.holders,
    },
    bottom: list.bottom,
  };
}

/** Addresses in a field: one, or the power of two that keeps the map within its fields. */
function blockSize({ first, last }: IpRange): number {
  let size = 1;
  while ((last - first + 1) / size > MOST_FIELDS) size *= 2;
  return size;
}

function placeFields(
  network: IpNetwork,
  size: number,
  measure: TextMeasure,
  top: number,
): PlannedField[] {
  const { subnet } = network;
  if (subnet === undefined) return [];
  const holders = new Map<number, IpHolder[]>();
  for (const holder of network.holders) {
    if (holder.address === undefined) continue;
    const index = Math.floor((holder.address - subnet.first) / size);
    holders.set(index, [...(holders.get(index) ?? []), holder]);
  }
  const count = Math.ceil((subnet.last - subnet.first + 1) / size);
  return Array.from({ length: count }, (_, index): PlannedField => {
    const range = {
      first: subnet.first + index * size,
      last: Math.min(subnet.last, subnet.first + (index + 1) * size - 1),
    };
    const own = holders.get(index) ?? [];
    const isIn = (all: readonly IpRange[]) =>
      all.some(({ first, last }) => first <= range.last && range.first <= last);
    const rect = {
      x: MARGIN + ROW_NAME + (index % ACROSS) * FIELD.width + 1,
      y: top + Math.floor(index / ACROSS) * FIELD.height + 1,
      width: FIELD.width - 2,
      height: FIELD.height - 2,
    };
    const isReserved =
      size === 1 && (range.first < subnet.hosts.first || range.first > subnet.hosts.last);
    const use: FieldUse =
      own.length > 0
        ? (own.find(({ kind }) => kind !== 'host')?.kind ?? 'used') === 'router'
          ? 'router'
          : own.every(({ kind }) => kind === 'laptop')
            ? 'laptop'
            : 'used'
        : isReserved
          ? 'reserved'
          : isIn(network.free)
            ? 'free'
            : 'pool';
    const shown =
      own.length === 0 ? '' : size === 1 ? String(range.first % 256) : String(own.length);
    return {
      rect,
      use,
      inPool: own.length > 0 && isIn(network.pools),
      text:
        shown === ''
          ? undefined
          : anchored(
              plannedText(
                measure,
                shown,
                { x: rect.x + rect.width / 2, baseline: rect.y + rect.height / 2 + 3.4 },
                NUMBER,
              ),
              'middle',
            ),
      mark: own[0]?.mark,
      description: [
        rangeText(range),
        ...own.map(({ name }) => name),
        ...(own.length > 0 ? [] : [TEXTS.legendItems[use]]),
      ].join(', '),
    };
  });
}

/** Address, name and what it is, down one column and then the next. */
function placeHolders(
  holders: readonly IpHolder[],
  measure: TextMeasure,
  top: number,
  widthPx: number,
  places: Map<string, Point>,
): { readonly holders: PlannedHolder[]; readonly bottom: number } {
  const columns = Math.max(1, Math.floor((widthPx - 2 * MARGIN) / LIST_COLUMN));
  const perColumn = Math.ceil(holders.length / columns);
  const planned = holders.map((holder, index): PlannedHolder => {
    const column = Math.floor(index / perColumn);
    const x = MARGIN + column * LIST_COLUMN;
    const y = top + (index % perColumn) * LIST_ROW;
    const baseline = y + 13;
    const name = fittedText(measure, holder.name, { x: x + 98, baseline }, STRONG, 110);
    places.set(holder.id, { x: x + LIST_COLUMN - 2 * BADGE, y: y + LIST_ROW / 2 });
    const aboutX = name.x + Math.max(80, name.widthPx) + 8;
    return {
      id: holder.id,
      rect: { x, y, width: LIST_COLUMN - 10, height: LIST_ROW },
      texts: [
        fittedText(measure, holder.text, { x, baseline }, LINE, 92),
        name,
        fittedText(
          measure,
          holder.about,
          { x: aboutX, baseline },
          QUIET,
          x + LIST_COLUMN - 3 * BADGE - aboutX,
        ),
      ],
      mark: holder.mark,
      description: [holder.text, holder.name, holder.about]
        .filter((text) => text !== '')
        .join(', '),
    };
  });
  return { holders: planned, bottom: top + perColumn * LIST_ROW };
}

function rangeText({ first, last }: IpRange): string {
  return first === last
    ? formatAddress(first)
    : `${formatAddress(first)} .. ${formatAddress(last)}`;
}
