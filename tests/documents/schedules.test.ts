/** Row counts of schedules follow from the model: every used terminal, every core, spare cores and screens included. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cablesOfSite } from '../../src/analysis/cabling/cables.js';
import { tablesOf } from '../../src/documents/document.js';
import type { Cell, Document, Table } from '../../src/documents/document.js';
import { cableSchedule } from '../../src/documents/schedule/cable-schedule.js';
import { connectionSchedule } from '../../src/documents/schedule/connection-schedule.js';
import type { Site } from '../../src/model/site.js';
import { groupBy } from '../../src/documents/group-by.js';
import { brokenFolder, checkedExample, examples } from '../support/examples.js';
import { poweredPlans, siteOfPlan } from '../support/powered-sites.js';
import { siteOf } from '../support/site.js';
import { libraryText } from './library.js';

const noSheet = () => '';

describe('the connection schedule of the library', () => {
  const { site } = siteOf(libraryText);
  const schedule = connectionSchedule(site, 'all', noSheet);

  it('has a row for each core and each screen', () => {
    // Two screened pairs with their screens, one pair, one feed; five and twice three mains conductors.
    expect(rowsOf(schedule, 'connection-schedule')).toHaveLength(2 * 3 + 2 + 2 + 5 + 3 + 3);
  });

  it('labels both ends with the wire number and the terminal', () => {
    expect(record(schedule, 'connection-schedule', 0)).toMatchObject({
      cable: 'field-1/FC-1-01',
      core: 'BK',
      'wire number': 'field-1.1',
      band: 'bus',
      'from device': 'OU-1',
      'from strip': 'field',
      'from terminal': 'CA',
      'from place': 'Roof / Plant',
      'to device': 'FC-1-01',
      'to terminal': 'CA',
      'label at from': 'field-1.1 / OU-1.field:CA',
      'label at to': 'field-1.1 / FC-1-01.field:CA',
      work: 'new',
    });
  });

  it('says at both ends what becomes of a screen', () => {
    const screens = rowsOf(schedule, 'connection-schedule').filter(
      (row) => row['core'] === 'screen',
    );
    expect(screens.map((row) => [row['screen at from'], row['screen at to']])).toEqual([
      ['bonded to earth', 'joined to the next screen, insulated'],
      ['joined to the next screen, insulated', 'cut back and insulated'],
    ]);
  });

  it('lists terminators, bonds and covers', () => {
    expect(
      rowsOf(schedule, 'terminal-fittings').map(
        (row) => `${String(row['at'])}: ${String(row['what'])}`,
      ),
    ).toEqual([
      'OU-1.field: Terminator across the pair',
      'OU-1.field: Screen bonded to earth, here only',
      'ZC-1.field: Terminator across the pair',
      'ZC-1.supply: Insulating cover over the exposed terminals',
    ]);
  });

  it('names the drawing of each circuit', () => {
    const withSheets = connectionSchedule(site, 'all', (circuit) => `drawings/${circuit}.svg`);
    expect(record(withSheets, 'connection-schedule', 0)['sheet']).toBe('drawings/field-1.svg');
  });
});

describe('the cable schedule of the library', () => {
  const { site } = siteOf(libraryText);
  const rows = rowsOf(cableSchedule(site, 'all'), 'cable-schedule');

  it('tells stated from estimated lengths', () => {
    expect(rows.map((row) => [row['cable'], row['length']])).toEqual([
      ['field-1/FC-1-01', { kind: 'quantity', value: 18, unit: 'm', digits: 2, mark: 'stated' }],
      // 12 m across and 2 m at each end.
      ['field-1/ZC-1', { kind: 'quantity', value: 16, unit: 'm', digits: 2, mark: 'estimated' }],
      ['room-1/RC-1-01', { kind: 'quantity', value: 6, unit: 'm', digits: 2, mark: 'stated' }],
      ['F-1/ZC-1', { kind: 'quantity', value: 14, unit: 'm', digits: 2, mark: 'stated' }],
      ['DB-1.W3/OU-1', expect.objectContaining({ value: 4, mark: 'estimated' })],
      ['DB-1.W7/FC-1-01', expect.objectContaining({ mark: 'estimated' })],
      ['DB-1.W7/PS-1', expect.objectContaining({ value: 4, mark: 'estimated' })],
    ]);
  });
});

describe('the schedules of any site', () => {
  it('show every terminal at each end of each cable, and each core once', () => {
    fc.assert(
      fc.property(poweredPlans, (plan) => {
        expectComplete(siteOfPlan(plan));
      }),
      { numRuns: 1000 },
    );
  });

  it.each(examples())('show the same in $name', (example) => {
    const { site } = checkedExample(example).open;
    if (!example.name.startsWith(`${brokenFolder}/`)) {
      expect(cablesOfSite(site).length).toBeGreaterThan(10);
    }
    expectComplete(site);
  });

  it('list in the phase of the new work exactly what is not existing', () => {
    fc.assert(
      fc.property(poweredPlans, (plan) => {
        const site = siteOfPlan(plan);
        const ids = (document: Document, name: string) =>
          new Set(rowsOf(document, name).map((row) => String(row['cable'])));
        const fresh = new Set(
          cablesOfSite(site)
            .filter((cable) => !cable.existing)
            .map((cable) => cable.id),
        );
        expect(ids(connectionSchedule(site, 'new', noSheet), 'connection-schedule')).toEqual(fresh);
        expect(ids(cableSchedule(site, 'new'), 'cable-schedule')).toEqual(fresh);
        const work = rowsOf(cableSchedule(site, 'all'), 'cable-schedule');
        for (const row of work) {
          expect(row['work']).toBe(fresh.has(String(row['cable'])) ? 'new' : 'existing');
        }
      }),
      { numRuns: 500 },
    );
  });

  it('use no terminal with more conductors than lines and spurs end there', () => {
    fc.assert(
      fc.property(poweredPlans, (plan) => {
        const site = siteOfPlan(plan);
        const used = conductorsAtTerminals(site);
        for (const [terminal, conductors] of used) {
          const [strip = ''] = terminal.split(':');
          const cables = cablesOfSite(site).filter((cable) =>
            [cable.from, cable.to].some((end) => `${end.owner}.${end.member}` === strip),
          );
          expect(conductors).toBeLessThanOrEqual(cables.length);
        }
      }),
      { numRuns: 500 },
    );
  });
});

function conductorsAtTerminals(site: Site): ReadonlyMap<string, number> {
  const counts = new Map<string, number>();
  for (const row of rowsOf(connectionSchedule(site, 'all', noSheet), 'connection-schedule')) {
    for (const end of ['from', 'to']) {
      const terminal = row[`${end} terminal`];
      if (terminal !== '') {
        const key = `${String(row[`${end} device`])}.${String(row[`${end} strip`])}:${String(terminal)}`;
        counts.set(key, (counts.get(key) ?? 0) + 1);
      }
    }
  }
  return counts;
}

function rowsOf(document: Document, name: string): Record<string, Cell>[] {
  return tablesOf(document)
    .filter((table) => table.name === name)
    .flatMap(recordsOf);
}

function record(document: Document, name: string, index: number): Record<string, Cell> {
  return rowsOf(document, name)[index] ?? {};
}

function recordsOf(table: Table): Record<string, Cell>[] {
  return table.rows.map((row) => {
    expect(row).toHaveLength(table.columns.length);
    return Object.fromEntries(table.columns.map((column, index) => [column.heading, row[index]!]));
  });
}

/** Every terminal at each end of each cable, each core and each screen once. */
function expectComplete(site: Site): void {
  const rows = rowsOf(connectionSchedule(site, 'all', noSheet), 'connection-schedule');
  const byCable = groupBy(rows, (row) => String(row['cable']));
  const shown = new Set(
    rows.flatMap((row) => [
      `${String(row['cable'])} ${String(row['from device'])}.${String(row['from strip'])}:${String(row['from terminal'])}`,
      `${String(row['cable'])} ${String(row['to device'])}.${String(row['to strip'])}:${String(row['to terminal'])}`,
    ]),
  );
  for (const cable of cablesOfSite(site)) {
    for (const end of [cable.from, cable.to]) {
      for (const terminal of end.terminals) {
        expect(shown).toContain(`${cable.id} ${end.owner}.${end.member}:${terminal}`);
      }
    }
    const own = byCable.get(cable.id) ?? [];
    if (cable.duty === 'network') {
      expect(own).toHaveLength(1);
      continue;
    }
    const cores = own.map((row) => String(row['core']).replace(' (spare)', ''));
    const wanted = cable.cable?.cores?.count ?? 0;
    const real = cores.filter((core) => core !== 'screen' && core !== 'not stated');
    expect(new Set(real).size).toBe(wanted);
    expect(real).toHaveLength(wanted);
    expect(cores.filter((core) => core === 'screen')).toHaveLength(
      cable.cable?.screened === true ? 1 : 0,
    );
  }
}
