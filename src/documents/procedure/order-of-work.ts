/** The order of work as a document: the plan's actions, one step each, with what belongs to them. */
import { supervisionOf } from '../../analysis/graph/supervision.js';
import { addressedPortsOf } from '../../analysis/graph/addresses.js';
import type { Device } from '../../model/records.js';
import { equipmentOf, roomOf } from '../../model/site.js';
import type { Site } from '../../model/site.js';
import {
  StepCounter,
  blank,
  boxColumn,
  caution,
  danger,
  list,
  note,
  numberColumn,
  paragraph,
  quantity,
  tableOf,
  textColumn,
  writeColumn,
} from '../document.js';
import type { Block, Document, Phrase, Section, Step } from '../document.js';
import type { VoltageReading } from '../commissioning/readings.js';
import { placeText } from '../marks.js';
import { procedureTexts as texts } from '../texts/procedure.js';
import { landingLines } from './landing-lines.js';
import { workPlan } from './work-plan.js';
import type { Enclosure, PlannedPoint, WorkAction, WorkPlan } from './work-plan.js';

export function orderOfWork(site: Site): Document {
  const plan = workPlan(site);
  const writer = new ProcedureWriter(site, plan);
  return {
    id: 'order-of-work',
    title: texts.title,
    orientation: 'portrait',
    introduction: [
      paragraph(plan.actions.length === 0 ? texts.nothing : texts.about),
      ...texts.dangers.map(danger),
      ...texts.cautions.map(caution),
      ...stopBlocks(plan),
    ],
    sections: plan.actions.length === 0 ? [] : writer.sections(),
  };
}

type Stage = keyof typeof texts.sections;

const STAGE_OF: Readonly<Record<WorkAction['kind'], Stage>> = {
  permit: 'before',
  inform: 'before',
  'list-sources': 'plan',
  'shut-down': 'isolate',
  open: 'isolate',
  lock: 'isolate',
  wait: 'isolate',
  'prove-tester': 'prove',
  'prove-dead': 'prove',
  'prove-tester-again': 'prove',
  earth: 'prove',
  cover: 'prove',
  pull: 'work',
  land: 'work',
  inspect: 'inspect',
  'test-unpowered': 'inspect',
  clear: 'inspect',
  unlock: 'unlock',
  'board-in-service': 'energise',
  energise: 'energise',
  measure: 'energise',
  connect: 'energise',
  try: 'try',
  sign: 'try',
};

/** What forbids to start. */
function stopBlocks(plan: WorkPlan): readonly Block[] {
  const covered = new Set(plan.points.flatMap((point) => point.sources));
  const unlockable = new Set(plan.unlockable.map((source) => source.name));
  const uncovered = plan.sources.filter(
    (source) => !covered.has(source.name) && !unlockable.has(source.name),
  );
  return [
    ...plan.unlockable.map((source) => danger(texts.unlockable(source.name))),
    ...plan.unstated.map((device) => danger(texts.unstated(device))),
    ...uncovered.map((source) => danger(texts.uncovered(source.name))),
    ...plan.points
      .filter((point) => point.kind === 'stored')
      .map((point) => danger(texts.inside(point.name))),
    ...(plan.boards.length === 0
      ? []
      : [danger(texts.boards(texts.list(plan.boards.map((board) => board.name))))]),
  ];
}

class ProcedureWriter {
  readonly #site: Site;
  readonly #plan: WorkPlan;
  readonly #counter = new StepCounter();

  constructor(site: Site, plan: WorkPlan) {
    this.#site = site;
    this.#plan = plan;
  }

  sections(): readonly Section[] {
    const stages = Object.keys(texts.sections) as Stage[];
    const byStage = new Map(stages.map((stage) => [stage, [] as Step[]]));
    const { actions } = this.#plan;
    actions.forEach((action, index) => {
      const steps = byStage.get(STAGE_OF[action.kind])!;
      steps.push(...this.#stepsOf(action, readingsAround(actions, index)));
    });
    return stages.map((stage) => ({
      heading: texts.sections[stage],
      blocks: [...this.#stageBlocks(stage), { kind: 'steps', steps: byStage.get(stage)! }],
    }));
  }

  /** What holds for all steps of a stage. */
  #stageBlocks(stage: Stage): readonly Block[] {
    switch (stage) {
      case 'plan':
        return this.#planTables();
      case 'prove':
        return [danger(texts.proveDeadHow)];
      case 'work':
        return [danger(texts.landRules[0]), caution(texts.landRules[1])];
      case 'energise':
        return [danger(texts.energiseDanger)];
      default:
        return [];
    }
  }

  #stepsOf(action: WorkAction, readings: readonly VoltageReading[]): readonly Step[] {
    const step = (text: string, details: readonly Block[] = []): readonly Step[] => [
      this.#counter.step(text, details),
    ];
    switch (action.kind) {
      case 'permit':
        return step(texts.permitStep, [list(texts.permit)]);
      case 'inform':
        return step(texts.informStep);
      case 'list-sources':
        return step(texts.listStep);
      case 'shut-down':
        return step(texts.shutDownStep);
      case 'open':
        return step(this.#openText(action.point), stateNotes(action.point));
      case 'lock':
        return step(
          action.point.kind === 'stored'
            ? texts.lockStoredStep(action.point.name)
            : texts.lockStep(this.#pointText(action.point), texts.list(action.point.sources)),
        );
      case 'wait':
        return step(texts.waitStep, [fields([texts.waitField])]);
      case 'prove-tester':
        return step(texts.proveTesterStep);
      case 'prove-dead':
        return step(
          texts.proveDeadStep(
            nameText(action.enclosure.device),
            this.#placeOf(action.enclosure.device),
          ),
          this.#proofBlocks(action.enclosure),
        );
      case 'prove-tester-again':
        return step(texts.proveAgainStep);
      case 'earth':
        return step(texts.earthStep, [fields(texts.earthFields)]);
      case 'cover':
        return step(texts.coverStep);
      case 'pull':
        return step(texts.pullStep);
      case 'land':
        return step(this.#landText(action.enclosure.device), this.#landBlocks(action.enclosure));
      case 'inspect':
        return step(texts.inspectStep);
      case 'test-unpowered':
        return step(texts.testStep);
      case 'clear':
        return step(texts.clearStep);
      case 'unlock':
        return step(
          action.point.kind === 'stored'
            ? texts.unlockStoredStep(action.point.name)
            : texts.unlockStep(this.#pointText(action.point), texts.list(action.point.sources)),
        );
      case 'board-in-service':
        return step(texts.boardStep(action.board.name));
      case 'energise':
        return step(
          action.point.kind === 'stored'
            ? texts.energiseStoredStep(action.point.name)
            : readings.length === 0
              ? texts.closeStep(this.#pointText(action.point))
              : texts.energiseStep(this.#pointText(action.point)),
          readingTable(readings),
        );
      case 'measure':
        // Stands in the step it belongs to.
        return [];
      case 'connect':
        return step(this.#connectText(action.device, readings), [
          ...readingTable(readings),
          ...this.#findsBlocks(action.device),
        ]);
      case 'try':
        return step(texts.tryStep);
      case 'sign':
        return step(texts.signStep, [fields(texts.signFields)]);
    }
  }

  #planTables(): readonly Block[] {
    const { columns: headings } = texts;
    return [
      tableOf<PlannedPoint>(
        'isolation-points',
        texts.pointsCaption,
        [
          textColumn(headings.point, (point) => point.name),
          textColumn(headings.kind, (point) => texts.kinds[point.kind]),
          textColumn(headings.place, (point) => this.#pointPlace(point)),
          textColumn(headings.sources, (point) => texts.list(point.sources)),
          textColumn(headings.state, (point) =>
            point.existing ? texts.states.existing : texts.states.fresh,
          ),
          textColumn(headings.enclosures, (point) =>
            texts.list([...point.enclosures, ...point.backs]),
          ),
          writeColumn(headings.lock),
          boxColumn(headings.open),
          boxColumn(headings.locked),
          writeColumn(headings.initials),
        ],
        this.#plan.points,
      ),
      tableOf<{ readonly enclosure: Enclosure; readonly point: string }>(
        'isolation-enclosures',
        texts.enclosuresCaption,
        [
          textColumn(headings.enclosure, ({ enclosure }) => enclosure.device.name),
          textColumn(headings.place, ({ enclosure }) => this.#placeOf(enclosure.device)),
          textColumn(headings.point, ({ point }) => point),
          textColumn(headings.reached, ({ enclosure }) =>
            texts.list(enclosure.isolation.sources.map((source) => source.name)),
          ),
          textColumn(headings.above, ({ enclosure }) =>
            texts.list(enclosure.isolation.alternatives.map((point) => point.name)),
          ),
          boxColumn(headings.dead),
          writeColumn(headings.initials),
        ],
        this.#plan.enclosures.flatMap((enclosure) =>
          (enclosure.points.length === 0 ? [''] : enclosure.points).map((point) => ({
            enclosure,
            point,
          })),
        ),
      ),
    ];
  }

  #openText(point: PlannedPoint): string {
    return point.kind === 'stored'
      ? texts.openStoredStep(point.name)
      : texts.openStep(this.#pointText(point), texts.list(point.sources));
  }

  #pointText(point: PlannedPoint): string {
    return `${point.name} (${this.#pointPlace(point)})`;
  }

  #pointPlace(point: PlannedPoint): string {
    const device = this.#site.devices.get(point.enclosures[0] ?? '');
    return point.point === undefined ? this.#placeOf(device) : placeText(point.point.room);
  }

  #placeOf(device: Device | undefined): string {
    return placeText(device === undefined ? undefined : roomOf(this.#site, device));
  }

  #proofBlocks(enclosure: Enclosure): readonly Block[] {
    const { isolation, points } = enclosure;
    const terminals = this.#terminalsOf(enclosure.device);
    const sources = texts.list(isolation.sources.map((source) => source.name));
    return [
      ...(points.length > 1 ? [danger(texts.several(texts.list(points)))] : []),
      list([
        ...(terminals.length === 0 ? [] : [texts.terminals(texts.list(terminals))]),
        ...(points.length === 0 ? [] : [texts.keptAwayBy(texts.list(points))]),
        sources === '' ? texts.noSource : texts.reachedBy(sources),
      ]),
    ];
  }

  /** `mains L, N, PE`: every strip of the enclosure that has terminals. */
  #terminalsOf(device: Device): readonly string[] {
    const equipment = equipmentOf(this.#site, device);
    const strips = [
      ...(equipment?.inlets ?? []),
      ...(equipment?.outlets ?? []),
      ...(equipment?.ports ?? []),
    ];
    return strips
      .filter((strip) => strip.terminals.length > 0)
      .map((strip) => `${strip.name} ${strip.terminals.join(' ')}`);
  }

  #landText(device: Device): string {
    const title = equipmentOf(this.#site, device)?.title ?? device.equipment;
    return texts.landStep(nameText(device), title, this.#placeOf(device));
  }

  #landBlocks({ device, points }: Enclosure): readonly Block[] {
    const lines = landingLines(this.#site, device);
    const cautions = equipmentOf(this.#site, device)?.cautions ?? [];
    return [
      ...cautions.map(caution),
      ...(points.length > 1 ? [danger(texts.several(texts.list(points)))] : []),
      list([texts.landFirst, ...lines, ...(device.existing ? [] : this.#addressLines(device))]),
    ];
  }

  #addressLines(device: Device): readonly (string | Phrase)[] {
    return addressedPortsOf(this.#site, device).map(({ port, line }) =>
      line === undefined
        ? texts.addressMissing(port.name)
        : texts.address(port.name, quantity(line.address, '', 'stated', 0)),
    );
  }

  #connectText(device: Device, readings: readonly VoltageReading[]): string {
    const text = readings.length === 0 ? texts.connectStep : texts.connectAfterReading;
    return text(nameText(device), this.#placeOf(device));
  }

  #findsBlocks(device: Device): readonly Block[] {
    const units = supervisionOf(this.#site, device)?.units ?? [];
    return units.length === 0
      ? []
      : [note(texts.finds(texts.list(units.map((unit) => unit.device.name))))];
  }
}

/** The readings that belong to an action: right after an energising, right before a connecting. */
function readingsAround(actions: readonly WorkAction[], index: number): readonly VoltageReading[] {
  const own = actions[index]!.kind;
  if (own !== 'energise' && own !== 'connect') {
    return [];
  }
  const direction = own === 'energise' ? 1 : -1;
  const found: VoltageReading[] = [];
  for (let at = index + direction; ; at += direction) {
    const action = actions[at];
    if (action?.kind !== 'measure' || action.for !== own) {
      return direction < 0 ? found.reverse() : found;
    }
    found.push(action.reading);
  }
}

function readingTable(readings: readonly VoltageReading[]): readonly Block[] {
  const { columns: headings } = texts;
  return readings.length === 0
    ? []
    : [
        tableOf<VoltageReading>(
          'energising-readings',
          '',
          [
            textColumn(headings.at, ({ at }) => at),
            textColumn(headings.terminals, ({ terminals }) => terminals.join(', ')),
            numberColumn(headings.expect, 'V', ({ unloaded }) => unloaded),
            numberColumn(headings.least, 'V', ({ least }) => least),
            numberColumn(headings.most, 'V', ({ most }) => most),
            textColumn(headings.note, ({ mains }) => (mains ? texts.mains : '')),
            writeColumn(headings.seen),
            boxColumn(headings.ok),
          ],
          readings,
        ),
      ];
}

/** A device's name, with the word where it was there before the work. */
function nameText(device: Device): string {
  return device.existing ? texts.existing(device.name) : device.name;
}

function stateNotes(point: PlannedPoint): readonly Block[] {
  if (point.kind === 'stored') {
    return [note(texts.storedPoint)];
  }
  return [
    note(point.existing ? texts.live : texts.newPoint),
    ...(point.backs.length === 0 ? [] : [note(texts.backs(texts.list(point.backs)))]),
  ];
}

function fields(labels: readonly string[]): Block {
  return { kind: 'fields', fields: labels.map((label) => ({ label, content: blank })) };
}
