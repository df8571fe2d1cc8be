/** The calculations: values, limits, margins and the whole working, for each bus and feed. */
import { factsOf } from '../../analysis/facts.js';
import { FORMULAS } from '../../analysis/formulas.js';
import { judgedTemperature } from '../../analysis/power/temperature.js';
import type { Fact, Term } from '../../model/finding.js';
import { compareNames, memberKey } from '../../model/site.js';
import type { Site } from '../../model/site.js';
import type { Bus, Feed } from '../../model/wiring.js';
import {
  dataOnly,
  list,
  missing,
  numberColumn,
  paragraph,
  quantity,
  tableOf,
  textColumn,
} from '../document.js';
import type {
  Block,
  Document,
  Missing,
  Phrase,
  Plot,
  Quantity,
  Section,
  Table,
} from '../document.js';
import { groupBy } from '../group-by.js';
import { leastSure, markOf } from '../marks.js';
import { calculationTexts as texts } from '../texts/calculations.js';
import { words } from '../texts/words.js';
import { limitMark } from './limit-marks.js';
import { profileOf } from './profile.js';
import type { ProfilePoint } from './profile.js';

export function calculations(site: Site): Document {
  const runs: readonly (Bus | Feed)[] = [...inOrder(site.buses), ...inOrder(site.feeds)];
  const sections = runs.map((run) => runSection(site, run));
  return {
    id: 'calculations',
    title: texts.title,
    orientation: 'portrait',
    introduction: [
      paragraph(texts.about),
      list([...texts.conventions, temperatureLine(site)]),
      ...(runs.length === 0 ? [paragraph(texts.nothing)] : []),
    ],
    sections: [...sections, ...pointsSection(site), ...formulasSection(site, runs)],
  };
}

const { columns: headings } = texts;

function temperatureLine(site: Site): Phrase {
  const { temperatureC, basis } = judgedTemperature(site);
  return texts.temperature(quantity(temperatureC, 'C', basis));
}

function inOrder<Item extends { readonly name: string }>(
  items: ReadonlyMap<string, Item>,
): readonly Item[] {
  return [...items.values()].sort((one, other) => compareNames(one.name, other.name));
}

function runSection(site: Site, run: Bus | Feed): Section {
  const facts = factsOfRun(site, run);
  return {
    heading: texts.kinds[run.kind](run.name, run.title),
    blocks: [
      valueTable(run.name, facts),
      ...assumptionLine(facts),
      ...profileBlocks(site, run),
      ...workingTables(run.name, facts),
    ],
  };
}

/** The run's own values, then the voltages at its landings. */
function factsOfRun(site: Site, run: Bus | Feed): readonly Fact[] {
  const places = new Set(run.landings.map(({ device, member }) => memberKey(device, member)));
  return [
    ...factsOf(site, run.name),
    ...[...places].flatMap((place) =>
      factsOf(site, place).filter((fact) => fact.fact === 'voltage'),
    ),
  ];
}

function valueTable(circuit: string, facts: readonly Fact[]): Table {
  return tableOf<Fact>(
    'calculations',
    texts.captions.values,
    [
      textColumn(headings.circuit, () => circuit, 'data'),
      textColumn(headings.subject, (fact) => fact.subject),
      textColumn(headings.value, nameOf),
      numberColumn(headings.amount, undefined, amountCell),
      numberColumn(headings.limit, undefined, (fact) =>
        fact.limit === undefined
          ? ''
          : quantity(fact.limit, fact.unit, limitMark(fact.fact), digitsOf(fact.unit)),
      ),
      numberColumn(headings.margin, '%', (fact) =>
        fact.margin === undefined || !Number.isFinite(fact.margin)
          ? ''
          : quantity(
              fact.margin * 100,
              '%',
              leastSure([markOf(fact.basis), limitMark(fact.fact)]),
              1,
            ),
      ),
      textColumn(headings.source, (fact) => fact.source ?? '', 'data'),
    ],
    facts,
  );
}

function nameOf(fact: Fact): string {
  return texts.names[fact.fact] ?? fact.fact;
}

function amountCell(fact: Fact): Quantity | Missing {
  if (typeof fact.value === 'number' && Number.isFinite(fact.value)) {
    return quantity(fact.value, fact.unit, markOf(fact.basis), digitsOf(fact.unit));
  }
  if (fact.needs !== undefined) {
    return missing(fact.needs);
  }
  const reason = fact.terms.find((term) => term.name === 'reason')?.value;
  if (typeof reason === 'string') {
    return missing(reason);
  }
  if (fact.basis !== 'computed') {
    return missing(texts.notComputed);
  }
  return missing(
    fact.fact === 'collapse-margin' ? texts.noLoadThatCollapses : texts.noOperatingPoint,
  );
}

function digitsOf(unit: string): number {
  return unit === 'm' ? 2 : 3;
}

/** One line with every estimated and assumed term, so that nobody has to look for them in the working. */
function assumptionLine(facts: readonly Fact[]): readonly Block[] {
  const terms = facts
    .flatMap((fact) => fact.terms)
    .filter((term) => term.basis === 'assumed' || term.basis === 'estimated');
  const named = groupBy(
    terms.flatMap((term) =>
      typeof term.value === 'number' ? [{ ...term, value: term.value }] : [],
    ),
    (term) => `${term.name} ${term.value} ${term.unit} ${term.basis}`,
  );
  const parts: (string | Quantity)[] = [];
  for (const [first] of named.values()) {
    if (first !== undefined && Number.isFinite(first.value)) {
      parts.push(
        `${parts.length === 0 ? '' : '; '}${first.name} `,
        quantity(first.value, first.unit, markOf(first.basis), digitsOf(first.unit)),
      );
    }
  }
  return parts.length === 0 ? [] : [paragraph(texts.restsOn(parts))];
}

function profileBlocks(site: Site, run: Bus | Feed): readonly Block[] {
  const points = profileOf(site, run);
  if (points.length === 0) {
    return [];
  }
  return [
    tableOf<ProfilePoint>(
      'calculations-profile',
      texts.captions.profile,
      [
        textColumn(headings.circuit, () => run.name, 'data'),
        textColumn(headings.at, (point) => point.name),
        numberColumn(headings.distance, 'm', (point) =>
          point.distanceM === undefined
            ? missing(words.lengthUnknown)
            : quantity(point.distanceM, 'm', point.distanceMark, 2),
        ),
        numberColumn(headings.cable, 'm', (point) =>
          point.cable === undefined || point.cable.lengthM === null
            ? ''
            : quantity(point.cable.lengthM, 'm', markOf(point.cable.lengthBasis), 2),
        ),
        numberColumn(headings.current, 'A', (point) =>
          point.currentA === undefined ? '' : quantity(point.currentA, 'A', 'computed'),
        ),
        numberColumn(headings.voltage, 'V', ({ voltage }) =>
          voltage === undefined ? '' : amountCell(voltage),
        ),
        numberColumn(headings.least, 'V', ({ voltage }) =>
          voltage?.limit === undefined ? '' : quantity(voltage.limit, 'V', limitMark('voltage'), 3),
        ),
        numberColumn(headings.left, 'V', leftCell),
      ],
      points,
    ),
    ...plotOf(run, points),
  ];
}

function leftCell({ voltage }: ProfilePoint): Quantity | '' {
  return voltage?.limit === undefined || typeof voltage.value !== 'number'
    ? ''
    : quantity(
        voltage.value - voltage.limit,
        'V',
        leastSure([markOf(voltage.basis), limitMark('voltage')]),
      );
}

/** A line for each branch of the run; the strictest limit goes right across. */
function plotOf(run: Bus | Feed, points: readonly ProfilePoint[]): readonly Plot[] {
  const lines = points.flatMap((point) => {
    const start = point.before === undefined ? undefined : points[point.before];
    const ends = [start, point].flatMap((end) =>
      end?.distanceM === undefined || typeof end.voltage?.value !== 'number'
        ? []
        : [{ across: end.distanceM, up: end.voltage.value, name: end.name }],
    );
    return ends.length === 2 ? [ends] : [];
  });
  // Between two places the table says it all.
  if (lines.length < 2) {
    return [];
  }
  const limits = points.flatMap(({ voltage }) => voltage?.limit ?? []);
  return [
    {
      kind: 'plot',
      title: texts.plot.title(run.name),
      across: { title: texts.plot.across, unit: 'm' },
      up: { title: texts.plot.up, unit: 'V' },
      lines,
      least: limits.length === 0 ? undefined : Math.max(...limits),
      leastTitle: texts.plot.least,
    },
  ];
}

interface WorkingRow {
  readonly fact: Fact;
  readonly term: Term;
}

function workingTable(circuit: string, facts: readonly Fact[]): readonly Table[] {
  const rows = facts.flatMap((fact) => termsOf(fact).map((term): WorkingRow => ({ fact, term })));
  if (rows.length === 0) {
    return [];
  }
  return [
    tableOf<WorkingRow>(
      'calculations-working',
      texts.captions.working,
      [
        textColumn(headings.circuit, () => circuit, 'data'),
        textColumn(headings.subject, ({ fact }) => fact.subject),
        textColumn(headings.value, ({ fact }) => nameOf(fact)),
        textColumn(headings.term, ({ term }) => term.name),
        numberColumn(headings.amount, undefined, ({ term }) =>
          typeof term.value === 'number' && Number.isFinite(term.value)
            ? quantity(term.value, term.unit, markOf(term.basis), 4)
            : '',
        ),
        textColumn(headings.text, ({ term }) => (typeof term.value === 'string' ? term.value : '')),
      ],
      rows,
    ),
  ];
}

/** Values whose terms stand elsewhere in print: in the schedules, or in the profile. */
const TOLD_ELSEWHERE: ReadonlySet<string> = new Set([
  'drops',
  'total-length',
  'farthest-length',
  'longest-stub',
  'unit-loads',
  'voltage',
]);

/** Every term as data; in print a row for each value, as far as its terms stand nowhere else. */
function workingTables(circuit: string, facts: readonly Fact[]): readonly Table[] {
  const printed = facts.filter(
    (fact) => !TOLD_ELSEWHERE.has(fact.fact) && termsOf(fact).length > 0,
  );
  const table = tableOf<Fact>(
    'calculations-working-printed',
    texts.captions.working,
    [
      textColumn(headings.subject, (fact) => fact.subject),
      textColumn(headings.value, nameOf),
      textColumn(headings.terms, termsPhrase),
    ],
    printed,
  );
  return [
    ...workingTable(circuit, facts).map(dataOnly),
    ...(printed.length === 0 ? [] : [{ ...table, use: 'print' as const }]),
  ];
}

function termsOf(fact: Fact): readonly Term[] {
  return fact.terms.filter((term) => term.name !== 'reason' && term.value !== null);
}

function termsPhrase(fact: Fact): Phrase {
  return termsOf(fact).flatMap((term, index): (string | Quantity)[] => [
    `${index === 0 ? '' : '; '}${term.name} `,
    typeof term.value === 'number' && Number.isFinite(term.value)
      ? quantity(term.value, term.unit, markOf(term.basis), 4)
      : String(term.value),
  ]);
}

/** Loads of the ways and outlets, which several runs share. */
function pointsSection(site: Site): readonly Section[] {
  const keys = [
    ...inOrder(site.boards).flatMap((board) =>
      [...board.ways]
        .sort((one, other) => compareNames(one.name, other.name))
        .map((way) => memberKey(board.name, way.name)),
    ),
    ...inOrder(site.devices).flatMap((device) =>
      (site.equipment.get(device.equipment)?.outlets ?? []).map((outlet) =>
        memberKey(device.name, outlet.name),
      ),
    ),
  ];
  const facts = keys.flatMap((key) =>
    factsOf(site, key).filter(({ fact }) => fact === 'load' || fact === 'spare'),
  );
  if (facts.length === 0) {
    return [];
  }
  return [
    {
      heading: texts.sections.points,
      blocks: [
        { ...valueTable('', facts), caption: [] },
        ...assumptionLine(facts),
        ...workingTable('', facts).map(dataOnly),
      ],
    },
  ];
}

/** Formula and sources of each value that occurs. */
function formulasSection(site: Site, runs: readonly (Bus | Feed)[]): readonly Section[] {
  const facts = groupBy(
    runs.flatMap((run) => factsOfRun(site, run)),
    ({ fact }) => fact,
  );
  const rows = Object.keys(texts.names).filter((fact) => facts.has(fact));
  const sourcesOf = (fact: string) => [
    ...new Set((facts.get(fact) ?? []).flatMap(({ source }) => source ?? [])),
  ];
  return rows.length === 0
    ? []
    : [
        {
          heading: texts.sections.formulas,
          blocks: [
            tableOf<string>(
              'calculations-formulas',
              '',
              [
                textColumn(headings.fact, (fact) => texts.names[fact] ?? fact),
                textColumn(headings.formula, (fact) => FORMULAS[fact] ?? ''),
                textColumn(headings.source, (fact) => sourcesOf(fact).join('; or ')),
              ],
              rows,
            ),
          ],
        },
      ];
}
