/** Topology plan → draw list: what each planned thing looks like. */
import type { Point } from '../layout/geometry.js';
import type { TextMeasure } from '../layout/text-measure.js';
import type {
  LegendKey,
  PlannedBox,
  PlannedLabel,
  PlannedSymbol,
  PlannedWire,
  RunStyle,
  TopologyPlan,
} from '../layout/topology/plan.js';
import type { WireLayer } from '../layout/topology/wiring.js';
import {
  circle,
  group,
  line,
  polygon,
  rectangle,
  type DrawList,
  type DrawNode,
} from './draw-list.js';
import { iconOf } from './icons.js';
import { earthMark, findingMark, seenMark, terminatorMark, textNode } from './marks.js';
import { layer, paintSheet } from './paint-sheet.js';

const LAYERS: readonly WireLayer[] = ['branch', 'feed', 'ip', 'local', 'bus'];
const CORNER_PX = 5;
const CONTROLLERS = new Set(['zone-controller', 'site-controller', 'gateway']);

export function paintTopology(plan: TopologyPlan, measure: TextMeasure): DrawList {
  const layers = new Map(plan.wires.map((wire) => [wire.id, wire.layer]));
  return paintSheet(plan, measure, {
    layers: [
      layer(
        'areas',
        plan.bands.map((band) => {
          const children: DrawNode[] = [
            line('fd-slab', [
              { x: 0, y: band.rect.y + band.rect.height },
              { x: band.rect.width, y: band.rect.y + band.rect.height },
            ]),
            ...band.texts.map(textNode),
            ...(band.levelMark ? [levelMark(band.levelMark)] : []),
          ];
          const title = band.texts.map((one) => one.text).join(', ');
          return group('fd-area', children, band.mark ? { mark: band.mark, title } : {});
        }),
      ),
      layer(
        'rooms',
        plan.frames.map((frame) =>
          group(
            'fd-room',
            [rectangle('fd-frame', frame.rect, 6), ...(frame.title ? [textNode(frame.title)] : [])],
            { mark: frame.mark, title: frame.mark.name },
          ),
        ),
      ),
      ...LAYERS.map((name) =>
        layer(
          name,
          plan.wires
            .filter((wire) => wire.layer === name)
            .map((wire) => paintWire(wire, plan.runStyles)),
        ),
      ),
      layer('devices', plan.boxes.map(paintBox)),
      ...seenLayer(plan),
      layer(
        'landings',
        plan.bars.map((bar) => line('fd-bar', [bar.from, bar.to])),
      ),
      layer('ends', plan.symbols.map(paintSymbol)),
      layer(
        'labels',
        plan.labels.map((label) => paintLabel(label, pillClass(label, plan, layers))),
      ),
    ],
    sample: legendSample,
  });
}

/** The sign of a level on a section: a triangle that stands on its point. */
function levelMark(at: Point): DrawNode {
  return polygon('fd-level', [
    { x: at.x, y: at.y - 8 },
    { x: at.x + 10, y: at.y - 8 },
    { x: at.x + 5, y: at.y },
  ]);
}

function paintWire(wire: PlannedWire, styles: ReadonlyMap<string, RunStyle>): DrawNode {
  const className = lineClass(wire.layer, styles.get(wire.runId), wire.spur);
  const children: DrawNode[] = [];
  for (const points of wire.lines)
    if (points.length > 1) children.push(line('fd-halo', points, CORNER_PX));
  for (const points of wire.lines) {
    if (points.length < 2) continue;
    children.push(line(className, points, CORNER_PX));
    if (wire.layer === 'ip') children.push(line('fd-ip-core', points, CORNER_PX));
  }
  for (const points of wire.lines) if (points.length > 1) children.push(line('fd-hit', points));
  for (const dot of wire.dots)
    children.push(circle(`fd-dot fd-${wire.layer}`, dot, wire.layer === 'ip' ? 4 : 3));
  return group('fd-wire', children, { mark: wire.mark, title: wire.description });
}

function lineClass(layer: WireLayer, style: RunStyle | undefined, isSpur: boolean): string {
  const own = layer === 'bus' && style ? ` fd-c${style.colour} fd-d${style.dash}` : '';
  return `fd-line fd-${layer}${own}${isSpur && layer === 'bus' ? ' fd-spur' : ''}`;
}

function paintBox(box: PlannedBox): DrawNode {
  const className = CONTROLLERS.has(box.role) ? 'fd-box fd-controller' : 'fd-box';
  return group(
    `fd-device fd-${box.style}`,
    [
      rectangle(className, box.rect, box.style === 'satellite' ? 8 : 2.5),
      ...iconOf(box.role, box.icon),
      ...box.rules.map((points) => line('fd-rule', points)),
      ...box.texts.map(textNode),
    ],
    { mark: box.mark, title: box.description },
  );
}

/** Left out where the picture does not show what was seen. */
function seenLayer(plan: TopologyPlan): DrawNode[] {
  const marks = plan.boxes.flatMap(({ seen }) =>
    seen === undefined ? [] : seenMark(seen.state, seen.centre),
  );
  return marks.length === 0 ? [] : [group('fd-layer-seen', marks)];
}

function paintSymbol(symbol: PlannedSymbol): DrawNode {
  const { rect, at, direction } = symbol;
  const children: DrawNode[] = [];
  if (symbol.kind === 'bond') {
    const end = farEnd(symbol);
    children.push(...earthMark(at, direction, Math.abs(end.x - at.x) + Math.abs(end.y - at.y)));
  } else {
    const isMissing = symbol.kind === 'terminator-missing';
    children.push(line(isMissing ? 'fd-missing-cross' : 'fd-symbol-line', [at, nearEnd(symbol)]));
    children.push(...terminatorMark(rect, isMissing));
  }
  return group('fd-end', children, { mark: symbol.mark, title: symbol.description });
}

function nearEnd({ at, rect, direction }: PlannedSymbol): Point {
  switch (direction) {
    case 'down':
      return { x: at.x, y: rect.y };
    case 'up':
      return { x: at.x, y: rect.y + rect.height };
    case 'left':
      return { x: rect.x + rect.width, y: at.y };
    case 'right':
      return { x: rect.x, y: at.y };
  }
}

function farEnd({ at, rect, direction }: PlannedSymbol): Point {
  switch (direction) {
    case 'down':
      return { x: at.x, y: rect.y + rect.height };
    case 'up':
      return { x: at.x, y: rect.y };
    case 'left':
      return { x: rect.x, y: at.y };
    case 'right':
      return { x: rect.x + rect.width, y: at.y };
  }
}

function pillClass(
  label: PlannedLabel,
  plan: TopologyPlan,
  layers: ReadonlyMap<string, WireLayer>,
): string {
  const layer = layers.get(label.wireId);
  const style = plan.runStyles.get(label.runId);
  if (layer === 'bus' && style) return `fd-c${style.colour}`;
  return layer === 'local' || layer === 'feed' ? `fd-pill-${layer}` : 'fd-pill-plain';
}

function paintLabel(label: PlannedLabel, pillStroke: string): DrawNode {
  const { rect, pill } = label;
  const children: DrawNode[] = [
    rectangle('fd-mask', { x: rect.x - 3, y: rect.y, width: rect.width + 6, height: rect.height }),
  ];
  if (pill) {
    const { mark } = pill;
    const nodes = [rectangle(`fd-pill ${pillStroke}`, pill.rect, 4), textNode(pill.text)];
    children.push(group('fd-run-name', nodes, { mark, title: mark.name }));
  }
  if (label.text) children.push(textNode(label.text));
  return group('fd-label', children);
}

function legendSample(key: LegendKey, at: Point, measure: TextMeasure): DrawNode[] {
  const from = at;
  const to = { x: at.x + 36, y: at.y };
  const width = (one: string, px: number) => measure.width(one, px, 700);
  const middle = { x: at.x + 18, y: at.y };
  switch (key) {
    case 'bus':
      return [
        line('fd-line fd-bus fd-c0 fd-d0', [
          { x: from.x, y: from.y - 4 },
          { x: to.x, y: from.y - 4 },
        ]),
        line('fd-line fd-bus fd-c1 fd-d1', [
          { x: from.x, y: from.y + 4 },
          { x: to.x, y: from.y + 4 },
        ]),
      ];
    case 'local':
    case 'feed':
    case 'branch':
      return [line(`fd-line fd-${key}`, [from, to])];
    case 'ip':
      return [line('fd-line fd-ip', [from, to]), line('fd-ip-core', [from, to])];
    case 'fitted':
    case 'missing':
      return [
        line(key === 'fitted' ? 'fd-symbol-line' : 'fd-missing-cross', [
          { x: at.x + 2, y: at.y },
          { x: at.x + 12, y: at.y },
        ]),
        ...terminatorMark({ x: at.x + 12, y: at.y - 5, width: 16, height: 10 }, key === 'missing'),
      ];
    case 'bonded':
      return earthMark({ x: middle.x, y: at.y - 9 }, 'down', 17);
    case 'estimated':
      return [];
    case 'flag':
      return [
        line('fd-line fd-bus fd-c0 fd-d0', [from, { x: at.x + 14, y: at.y }]),
        line('fd-symbol-line', [
          { x: at.x + 18, y: at.y },
          { x: at.x + 32, y: at.y },
        ]),
        line('fd-symbol-line', [
          { x: at.x + 28, y: at.y - 4 },
          { x: at.x + 32, y: at.y },
          { x: at.x + 28, y: at.y + 4 },
        ]),
      ];
    case 'seen-found':
      return seenMark('found', middle);
    case 'seen-missing':
      return seenMark('missing', middle);
    case 'seen-open':
      return seenMark('open', middle);
    case 'error':
    case 'warning':
    case 'hint':
      return findingMark(key, 1, middle, width);
  }
}
