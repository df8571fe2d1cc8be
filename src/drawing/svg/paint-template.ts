/** A template as a picture: equipment with its terminals, a cable with its cores, a bus type by its shape. */
import type { BusType, Cable, Equipment } from '../../model/equipment.js';
import { sizeText } from '../../model/quantity.js';
import type { Point } from '../layout/geometry.js';
import { fittedText, plannedText, type TextLook } from '../layout/planned.js';
import { circle, group, line, rectangle, type DrawList, type DrawNode } from './draw-list.js';
import { textNode } from './marks.js';
import { fontMeasure } from './text-measure.js';

const NAME: TextLook = { sizePx: 12, weight: 700, tone: 'ink' };
const SMALL: TextLook = { sizePx: 10, weight: 400, tone: 'muted' };
const LABEL: TextLook = { sizePx: 10, weight: 400, tone: 'ink' };

const WIDTH = 460;
const MARGIN = 14;
const HEAD = 46;
const ROW = 44;
const STEP = 34;

/** Power on the left, signals on the right; each connection with its terminals in their order. */
export function equipmentPicture(equipment: Equipment): DrawList {
  const left: readonly Row[] = [
    ...equipment.inlets.map(({ name, terminals }) => ({ name, what: 'inlet', terminals })),
    ...equipment.outlets.map(({ name, terminals }) => ({ name, what: 'outlet', terminals })),
  ];
  const right: readonly Row[] = [
    ...equipment.ports.map(({ name, busType, terminals, screenTerminal }) => ({
      name,
      what: busType,
      terminals: [...terminals, ...(screenTerminal === undefined ? [] : [screenTerminal])],
    })),
    ...equipment.lans.map(({ name }) => ({ name, what: 'network', terminals: [] })),
  ];
  const most = Math.max(1, ...[...left, ...right].map(({ terminals }) => terminals.length));
  const column = Math.max((WIDTH - 3 * MARGIN) / 2, most * STEP + 20);
  const width = 2 * column + 3 * MARGIN;
  const height = HEAD + Math.max(left.length, right.length, 1) * ROW + 2 * MARGIN;
  const rows = (list: readonly Row[], x: number) =>
    list.flatMap((row, index) => rowNodes(row, { x, y: HEAD + MARGIN + index * ROW }, column));
  return picture(equipment.name, equipment.title, { widthPx: width, heightPx: height }, [
    rectangle(
      'fd-box',
      { x: MARGIN / 2, y: MARGIN / 2, width: width - MARGIN, height: height - MARGIN },
      4,
    ),
    ...heading(equipment.name, equipment.title, width),
    ...rows(left, MARGIN * 1.5),
    ...rows(right, MARGIN * 2 + column),
  ]);
}

/** The cores in their order, each by its colour code. */
export function cablePicture(cable: Cable): DrawList {
  const count = Math.min(cable.cores?.count ?? cable.colours.length, mostCores);
  const height = HEAD + 2 * MARGIN + Math.max(1, count) * 20;
  const cores = Array.from({ length: count }, (_, index): DrawNode[] => {
    const y = HEAD + MARGIN + 8 + index * 20;
    const colour = cable.colours[index];
    const name = colour ?? String(index + 1);
    const points: readonly Point[] = [
      { x: MARGIN + 60, y },
      { x: WIDTH - MARGIN - 20, y },
    ];
    return [
      textNode(plannedText(fontMeasure, name, { x: MARGIN + 10, baseline: y + 4 }, LABEL)),
      line('fd-casing', points),
      line(`fd-core-line fd-colour-${colour ?? 'number'}`, points),
      ...(colour === 'GNYE' ? [line('fd-core-line fd-colour-GNYE-stripe', points)] : []),
    ];
  }).flat();
  const around = {
    x: MARGIN + 50,
    y: HEAD + 8,
    width: WIDTH - 2 * MARGIN - 60,
    height: count * 20,
  };
  const size =
    cable.cores === undefined ? '' : `${cable.cores.count} x ${sizeText(cable.cores.size)}`;
  return picture(cable.name, cable.title, { widthPx: WIDTH, heightPx: height }, [
    ...heading(cable.name, [cable.title, size].filter(Boolean).join(', '), WIDTH),
    ...(cable.screened ? [rectangle('fd-cut', around, 8)] : []),
    ...cores,
  ]);
}

/** More cores than this are told in words. */
const mostCores = 24;

/** How its landings hang together. */
export function busTypePicture(type: BusType): DrawList {
  const y = HEAD + 40;
  const at = (index: number, dy = 0): Point => ({ x: 60 + index * 110, y: y + dy });
  const boxes = (points: readonly Point[]) =>
    points.map(({ x, y: top }) =>
      rectangle('fd-box', { x: x - 22, y: top - 12, width: 44, height: 24 }, 3),
    );
  const spine = line('fd-link', [at(0), at(3)]);
  const shapes: Readonly<Record<NonNullable<BusType['shape']>, readonly DrawNode[]>> = {
    chain: [spine, ...boxes([at(0), at(1), at(2), at(3)])],
    tree: [
      spine,
      line('fd-link', [at(1), at(1, 60)]),
      line('fd-link', [at(2), at(2, 60)]),
      ...boxes([at(0), at(3), at(1, 60), at(2, 60)]),
    ],
    star: [
      ...[at(0), at(3), at(0, 60), at(3, 60)].map((end) => line('fd-link', [at(1.5, 30), end])),
      circle('fd-terminal', at(1.5, 30), 8),
      ...boxes([at(0), at(3), at(0, 60), at(3, 60)]),
    ],
    ring: [
      line('fd-link', [at(0), at(3), at(3, 60), at(0, 60), at(0)]),
      ...boxes([at(0), at(3), at(3, 60), at(0, 60)]),
    ],
    free: [
      spine,
      line('fd-link', [at(1), at(0.5, 60)]),
      line('fd-link', [at(1), at(2, 60)]),
      ...boxes([at(0), at(1), at(3), at(0.5, 60), at(2, 60)]),
    ],
  };
  return picture(type.name, type.title, { widthPx: WIDTH, heightPx: y + 90 }, [
    ...heading(type.name, [type.title, type.shape].filter(Boolean).join(', '), WIDTH),
    ...shapes[type.shape ?? 'chain'],
  ]);
}

/** Names what hangs together by its inside. */
export function namedPicture(
  name: string,
  title: string | undefined,
  inner: readonly string[],
): DrawList {
  const rows = inner.slice(0, mostCores);
  const height = HEAD + 2 * MARGIN + rows.length * 20;
  return picture(name, title, { widthPx: WIDTH, heightPx: height }, [
    rectangle(
      'fd-cut',
      { x: MARGIN / 2, y: MARGIN / 2, width: WIDTH - MARGIN, height: height - MARGIN },
      4,
    ),
    ...heading(name, title, WIDTH),
    ...rows.map((one, index) =>
      textNode(
        fittedText(
          fontMeasure,
          one,
          { x: MARGIN * 2, baseline: HEAD + MARGIN + 10 + index * 20 },
          LABEL,
          WIDTH - 4 * MARGIN,
        ),
      ),
    ),
  ]);
}

interface Row {
  readonly name: string;
  readonly what: string;
  readonly terminals: readonly string[];
}

function rowNodes({ name, what, terminals }: Row, at: Point, room: number): DrawNode[] {
  const title = fittedText(fontMeasure, name, { x: at.x, baseline: at.y }, NAME, room * 0.6);
  const kind = { x: at.x + title.widthPx + 6, baseline: at.y };
  return [
    textNode(title),
    textNode(fittedText(fontMeasure, what, kind, SMALL, room - title.widthPx - 14)),
    ...terminals.flatMap((terminal, index) => {
      const centre = { x: at.x + 8 + index * STEP, y: at.y + 13 };
      return [
        circle('fd-terminal', centre, 5),
        circle('fd-terminal-inner', centre, 1.8),
        textNode(
          fittedText(
            fontMeasure,
            terminal,
            { x: centre.x + 7, baseline: centre.y + 4 },
            LABEL,
            STEP - 14,
          ),
        ),
      ];
    }),
  ];
}

function heading(name: string, title: string | undefined, width: number): DrawNode[] {
  const at = (baseline: number) => ({ x: MARGIN * 1.5, baseline });
  const room = width - 3 * MARGIN;
  return [
    textNode(fittedText(fontMeasure, name, at(26), { ...NAME, sizePx: 14 }, room)),
    ...(title === undefined || title === ''
      ? []
      : [textNode(fittedText(fontMeasure, title, at(41), SMALL, room))]),
  ];
}

function picture(
  name: string,
  title: string | undefined,
  size: { readonly widthPx: number; readonly heightPx: number },
  children: readonly DrawNode[],
): DrawList {
  return {
    view: 'template',
    title: name,
    description: title ?? name,
    ...size,
    children: [group('fd-template', children, { title: title ?? name })],
  };
}
