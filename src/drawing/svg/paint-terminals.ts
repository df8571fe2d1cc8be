/** Terminals plan → draw list. */
import { baseColour } from '../layout/terminals/legend.js';
import type {
  PlannedCore,
  PlannedCover,
  PlannedTerminal,
  PlannedTermination,
  TerminalsLegendKey,
  TerminalsPlan,
} from '../layout/terminals/plan.js';
import type { Point } from '../layout/geometry.js';
import { SAMPLE_PX } from '../layout/sheet.js';
import type { TextMeasure } from '../layout/text-measure.js';
import { circle, group, line, rectangle, type DrawList, type DrawNode } from './draw-list.js';
import { earthMark, findingMark, terminatorMark, textNode } from './marks.js';
import { layer, paintSheet } from './paint-sheet.js';

export function paintTerminals(plan: TerminalsPlan, measure: TextMeasure): DrawList {
  return paintSheet(plan, measure, {
    layers: [
      layer('row-numbers', plan.rowNumbers.map(textNode)),
      layer('cores', plan.cores.map(paintCore)),
      layer('cables', [
        ...plan.cables.map((cable) =>
          group(
            'fd-cable',
            [
              {
                kind: 'ellipse',
                className: 'fd-ellipse',
                centre: cable.centre,
                radiusX: cable.radiusX,
                radiusY: cable.radiusY,
              },
              ...cable.texts.map(textNode),
            ],
            { mark: cable.mark, title: cable.description },
          ),
        ),
        ...plan.continuations.map((one) =>
          group('fd-continuation', [line('fd-cut', [one.from, one.to]), textNode(one.text)], {
            mark: one.mark,
            title: one.text.text,
          }),
        ),
      ]),
      layer(
        'strips',
        plan.strips.map((strip) =>
          group(
            'fd-strip',
            [
              rectangle('fd-box', strip.rect, 2),
              line('fd-rule', [
                { x: strip.rect.x, y: strip.headerBottom },
                { x: strip.rect.x + strip.rect.width, y: strip.headerBottom },
              ]),
              ...strip.texts.map(textNode),
            ],
            { mark: strip.mark, title: strip.description },
          ),
        ),
      ),
      layer(
        'links',
        plan.links.map((link) =>
          line(link.kind === 'screen' ? 'fd-link-screen' : 'fd-link', link.points),
        ),
      ),
      layer('covers', plan.covers.flatMap(paintCover)),
      layer('terminals', plan.terminals.flatMap(paintTerminal)),
      layer('ends', [
        ...plan.terminations.flatMap(paintTermination),
        ...plan.earths.flatMap((earth) => earthMark(earth.at, 'down', earth.lengthPx)),
      ]),
      layer(
        'texts',
        plan.cores.flatMap((core) => (core.text ? [textNode(core.text)] : [])),
      ),
    ],
    sample: legendSample,
  });
}

/** A core in its own colour inside a dark casing, so that white and yellow are seen on any ground. */
function paintCore(core: PlannedCore): DrawNode {
  const caps = core.caps.map((cap) => capNode(cap));
  if (core.kind === 'missing')
    return group('fd-core', [line('fd-core-missing', core.points), ...caps]);
  if (core.kind === 'screen') {
    return group('fd-core', [
      line('fd-screen-casing', core.points),
      line('fd-screen', core.points),
      ...caps,
    ]);
  }
  return group('fd-core', [...coreLines(core.colour, core.points), ...caps]);
}

function coreLines(colour: string, points: readonly Point[]): DrawNode[] {
  const code = baseColour(colour);
  const isColour = /^[A-Z]{2,4}$/u.test(code);
  const lines = [
    line('fd-casing', points),
    line(`fd-core-line ${isColour ? `fd-colour-${code}` : 'fd-colour-number'}`, points),
  ];
  return code === 'GNYE' ? [...lines, line('fd-core-line fd-colour-GNYE-stripe', points)] : lines;
}

/** A cut-back end under its insulation. */
function capNode(at: Point): DrawNode {
  return rectangle('fd-cap', { x: at.x - 3, y: at.y - 4, width: 6, height: 8 }, 2);
}

function paintTerminal(terminal: PlannedTerminal): DrawNode[] {
  const name = textNode(terminal.name);
  if (terminal.isJoint) return [circle('fd-joint', terminal.centre, 3), name];
  const screw = circle('fd-terminal', terminal.centre, 5.5);
  if (terminal.kind !== 'protective-earth') return [screw, name];
  return [screw, circle('fd-terminal-inner', terminal.centre, 2), name];
}

function paintTermination(one: PlannedTermination): DrawNode[] {
  const isMissing = one.state === 'missing';
  return [
    ...one.leads.map((points) => line(isMissing ? 'fd-missing-lead' : 'fd-symbol-line', points)),
    ...terminatorMark(one.rect, isMissing),
    textNode(one.text),
  ];
}

function paintCover(cover: PlannedCover): DrawNode[] {
  const className = cover.state === 'fitted' ? 'fd-cover' : 'fd-cover-missing';
  return [rectangle(className, cover.rect, 5), textNode(cover.text)];
}

function legendSample(key: TerminalsLegendKey, at: Point, measure: TextMeasure): DrawNode[] {
  const points = [at, { x: at.x + SAMPLE_PX, y: at.y }];
  const middle = { x: at.x + SAMPLE_PX / 2, y: at.y };
  const box = { x: at.x + 4, y: at.y - 7, width: SAMPLE_PX - 8, height: 14 };
  const resistor = { x: at.x + 12, y: at.y - 5, width: 16, height: 10 };
  const lead = [
    { x: at.x + 2, y: at.y },
    { x: at.x + 12, y: at.y },
  ];
  switch (key) {
    case 'screen':
      return [line('fd-screen-casing', points), line('fd-screen', points)];
    case 'cable':
      return [{ kind: 'ellipse', className: 'fd-ellipse', centre: middle, radiusX: 5, radiusY: 9 }];
    case 'fitted':
      return [line('fd-symbol-line', lead), ...terminatorMark(resistor, false)];
    case 'missing':
      return [line('fd-missing-lead', lead), ...terminatorMark(resistor, true)];
    case 'bonded':
      return earthMark({ x: middle.x, y: at.y - 9 }, 'down', 17);
    case 'cover':
      return [rectangle('fd-cover', box, 4)];
    case 'coverMissing':
      return [rectangle('fd-cover-missing', box, 4)];
    case 'spare':
      return [...coreLines('GY', points), capNode({ x: at.x + SAMPLE_PX, y: at.y })];
    case 'coreMissing':
      return [line('fd-core-missing', points)];
    case 'estimated':
      return [];
    case 'error':
    case 'warning':
    case 'hint':
      return findingMark(key, 1, middle, (text, px) => measure.width(text, px, 700));
    default:
      return coreLines(key.slice('colour-'.length), points);
  }
}
