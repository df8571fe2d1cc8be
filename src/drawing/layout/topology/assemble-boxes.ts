/** Boxes with their texts. */
import type { SceneDevice } from '../../scene/scene.js';
import type { Point } from '../geometry.js';
import { anchored, fittedText, plannedText, type PlannedText, type TextLook } from '../planned.js';
import type { AssembleContext } from './assemble.js';
import { factsOf, hostAddressesOf, type StripBox } from './boxes.js';
import { clusterKey } from './clusters.js';
import { deviceDescriber } from './describe.js';
import type { Cell } from './grid.js';
import type { PlannedBox } from './plan.js';
import { cellRect, satelliteRect, stripRect } from './rects.js';
import * as size from './sizes.js';
import { boardBoxId } from './wiring.js';

const TAG: TextLook = { sizePx: size.TAG_PX, weight: 700, tone: 'ink' };
const SATELLITE_TAG: TextLook = { sizePx: size.SATELLITE_TAG_PX, weight: 700, tone: 'ink' };
const FACTS: TextLook = { sizePx: size.DETAIL_PX, weight: 400, tone: 'ink' };
const TITLE: TextLook = { sizePx: size.DETAIL_PX, weight: 400, tone: 'muted' };
const PORT: TextLook = { sizePx: size.PORT_NAME_PX, weight: 400, tone: 'muted' };

/** A box before its place in the site is added. */
type BoxDraft = Omit<PlannedBox, 'chain' | 'area' | 'band'> & { readonly host?: string };

/** All boxes in reading order: the field row by row, then the strips. */
export function placeBoxes(context: AssembleContext): PlannedBox[] {
  const { placement, scene } = context;
  const runs = new Map(scene.runs.map((run) => [run.id, run.mark.name]));
  const areas = new Map(scene.areas.map((area) => [area.id, area.title]));
  const texts = new BoxTexts(context);
  const finished = (box: BoxDraft, band: number): PlannedBox => ({
    ...box,
    band,
    chain: runs.get(placement.primaryRun.get(box.host ?? box.id) ?? ''),
    area: areas.get(placement.bands[band]?.areaId ?? ''),
  });
  const boxes: PlannedBox[] = [];
  for (const row of context.grid.rows) {
    for (const cell of row.cells) {
      boxes.push(finished(texts.fieldBox(cell), row.band));
      cell.satellites.forEach((device, index) => {
        boxes.push(finished(texts.satelliteBox(cell, device, index), row.band));
      });
    }
  }
  for (const strip of ['left', 'right'] as const) {
    placement[strip].forEach((items, band) => {
      for (const item of items) {
        const id = item.kind === 'board' ? boardBoxId(item.board.id) : item.device.id;
        const box = context.strips.get(id);
        if (box) boxes.push(finished(texts.stripBox(box, strip), band));
      }
    });
  }
  return boxes;
}

class BoxTexts {
  private readonly describe: (device: SceneDevice) => string;
  private readonly hostAddresses: ReadonlyMap<string, readonly string[]>;

  constructor(private readonly context: AssembleContext) {
    this.describe = deviceDescriber(context.scene);
    this.hostAddresses = hostAddressesOf(context.scene);
  }

  fieldBox(cell: Cell): BoxDraft {
    const { device } = cell;
    const rect = cellRect(this.context, cell);
    const x = rect.x + size.BOX_PAD;
    const insidePx = rect.width - 2 * size.BOX_PAD;
    const facts = this.factsOf(device);
    const lines = [
      ...(device.title === '' ? [] : [{ text: device.title, look: TITLE }]),
      ...(facts === '' ? [] : [{ text: facts, look: FACTS }]),
    ];
    return {
      ...this.aboutDevice(device),
      ...seenAt(device, { x: rect.x + rect.width, y: rect.y + rect.height }),
      style: 'field',
      rect,
      icon: { x, y: rect.y + 8 },
      texts: [
        this.tag(device.tag, x, rect.y + 20, insidePx),
        ...lines.map(({ text, look }, index) =>
          this.fitted(text, x, rect.y + 34 + 12 * index, look, insidePx),
        ),
        ...this.portNames(cell, rect.y + rect.height - 4),
      ],
      rules: [],
    };
  }

  satelliteBox(cell: Cell, device: SceneDevice, index: number): BoxDraft {
    const rect = satelliteRect(this.context, cell, index);
    const textX = rect.x + size.SATELLITE_PAD + size.ICON + 5;
    const insidePx = rect.x + rect.width - size.SATELLITE_PAD - textX;
    const facts = this.factsOf(device);
    const middle = rect.y + rect.height / 2;
    return {
      ...this.aboutDevice(device),
      ...seenAt(device, { x: rect.x + rect.width, y: rect.y + rect.height }),
      host: cell.device.id,
      style: 'satellite',
      rect,
      icon: { x: rect.x + size.SATELLITE_PAD, y: middle - size.ICON / 2 },
      texts: [
        this.fitted(device.tag, textX, middle + (facts === '' ? 4 : -2), SATELLITE_TAG, insidePx),
        ...(facts === '' ? [] : [this.fitted(facts, textX, middle + 10, FACTS, insidePx)]),
      ],
      rules: [],
    };
  }

  stripBox(box: StripBox, strip: 'left' | 'right'): BoxDraft {
    const rect = stripRect(this.context, box, strip);
    const x = rect.x + size.BOX_PAD;
    const insidePx = rect.width - 2 * size.BOX_PAD;
    const { item } = box;
    const tag = item.kind === 'board' ? item.board.tag : item.device.tag;
    const lines = [
      ...(box.title === '' ? [] : [{ text: box.title, look: TITLE }]),
      ...(box.facts === '' ? [] : [{ text: box.facts, look: FACTS }]),
    ];
    const ruleY = rect.y + box.headerPx - 1;
    return {
      ...(item.kind === 'board'
        ? {
            id: box.id,
            kind: 'board' as const,
            role: 'board' as const,
            existing: item.board.existing,
            mark: item.board.mark,
            description: [tag, box.title].filter((part) => part !== '').join(', '),
          }
        : {
            ...this.aboutDevice(item.device),
            // Wires leave a strip on its inner side.
            ...seenAt(item.device, {
              x: strip === 'left' ? rect.x : rect.x + rect.width,
              y: rect.y + rect.height,
            }),
          }),
      style: 'strip',
      rect,
      icon: { x, y: rect.y + 8 },
      texts: [
        this.tag(tag, x, rect.y + 20, insidePx),
        ...lines.map(({ text, look }, index) =>
          this.fitted(text, x, rect.y + 34 + 13 * index, look, insidePx),
        ),
        ...this.rowTexts(box, strip),
      ],
      rules:
        box.rows.length === 0
          ? []
          : [
              [
                { x: rect.x, y: ruleY },
                { x: rect.x + rect.width, y: ruleY },
              ],
            ],
    };
  }

  /** Names of ports and ways, beside their pins. */
  private rowTexts(box: StripBox, strip: 'left' | 'right'): PlannedText[] {
    const rect = stripRect(this.context, box, strip);
    return box.rows.flatMap((row, index): PlannedText[] => {
      if (row.text === '') return [];
      const baseline = rect.y + box.headerPx + (index + 0.5) * size.STRIP_ROW + 3.5;
      const atLeft = this.fitted(row.text, rect.x + 8, baseline, TITLE, rect.width - 16);
      return strip === 'right'
        ? [atLeft]
        : [anchored({ ...atLeft, x: rect.x + rect.width - 8 }, 'end')];
    });
  }

  /** Only a box with several ports says which is which. */
  private portNames(cell: Cell, baseline: number): PlannedText[] {
    const ports = this.context.clusters.get(clusterKey(cell, 'bottom'))?.ports ?? [];
    if (ports.length < 2) return [];
    const { from } = this.context.geometry.clusterX(cell, 'bottom');
    return ports.map((port) =>
      anchored(
        plannedText(this.context.measure, port.member, { x: from + port.middlePx, baseline }, PORT),
        'middle',
      ),
    );
  }

  private aboutDevice(device: SceneDevice) {
    return {
      id: device.id,
      kind: 'device' as const,
      role: device.role,
      existing: device.existing,
      mark: device.mark,
      description: this.describe(device),
    };
  }

  private factsOf(device: SceneDevice): string {
    return factsOf(device, this.hostAddresses.get(device.id) ?? []);
  }

  private tag(text: string, x: number, baseline: number, insidePx: number): PlannedText {
    const indent = size.ICON + 6;
    return this.fitted(text, x + indent, baseline, TAG, insidePx - indent);
  }

  private fitted(
    text: string,
    x: number,
    baseline: number,
    look: TextLook,
    limitPx: number,
  ): PlannedText {
    return fittedText(this.context.measure, text, { x, baseline }, look, limitPx);
  }
}

/** The mark of what was seen sits on a corner of the box, where neither wires nor findings stand. */
function seenAt({ seen }: SceneDevice, centre: Point): Pick<PlannedBox, 'seen'> {
  return seen === undefined ? {} : { seen: { state: seen, centre } };
}
