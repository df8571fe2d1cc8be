/** The calculations: what they show follows from the facts, and the voltages from Ohm's law. */
import { describe, expect, it } from 'vitest';
import { factsOf } from '../../src/analysis/facts.js';
import { calculations } from '../../src/documents/calculations/calculations.js';
import { profileOf } from '../../src/documents/calculations/profile.js';
import { isPhrase, tablesOf } from '../../src/documents/document.js';
import type { Block, Cell, Document } from '../../src/documents/document.js';
import { brokenFolder, checkedExample, examples } from '../support/examples.js';
import { siteOf } from '../support/site.js';
import { libraryText } from './library.js';

describe('the calculations of a small library', () => {
  const { site } = siteOf(libraryText);
  const document = calculations(site);

  it('have a section for each bus and feed', () => {
    expect(document.sections.map(({ heading }) => heading)).toEqual([
      'Bus field-1',
      'Bus room-1',
      'Feed F-1',
      'Ways and outlets',
      'How the values are computed',
    ]);
  });

  it('show value, limit, margin and source', () => {
    const row = rowsOf(document, 'calculations').find(
      (one) => one['circuit'] === 'field-1' && one['what'] === 'total length',
    );
    expect(row).toEqual({
      circuit: 'field-1',
      of: 'field-1',
      what: 'total length',
      value: { kind: 'quantity', value: 34, unit: 'm', digits: 2, mark: 'estimated' },
      limit: { kind: 'quantity', value: 1000, unit: 'm', digits: 2, mark: 'stated' },
      margin: { kind: 'quantity', value: 96.6, unit: '%', digits: 1, mark: 'estimated' },
      source: expect.stringContaining('common practice'),
    });
  });

  it('say what the estimates are', () => {
    const field = document.sections[0]!;
    expect(field.blocks.map(textOf).join('\n')).toContain(
      'Rests on what is not stated: FC-1-01.field to ZC-1.field 16 m estimated',
    );
  });

  it('follow the voltage along a run, and plot the same points', () => {
    // 22 mA over 6 m of 0.75 mm2 class 5 at 40 C: 2 x 6 x 0.026 x 1.0786 ohm (IEC 60228, alpha 0.00393).
    const [start, end] = profileOf(site, site.buses.get('room-1')!);
    expect(start).toMatchObject({ name: 'FC-1-01.room', distanceM: 0 });
    expect(end).toMatchObject({ name: 'RC-1-01.link', distanceM: 6 });
    expect(end!.voltage!.value).toBeCloseTo(15 - 0.022 * 2 * 6 * 0.026 * 1.0786, 6);
  });

  it('plot the voltage where there is more than one cable to see', () => {
    expect(plotsOf(document)).toEqual([]);
    const longer = siteOf(
      libraryText
        .replace('device PS-1', 'device RC-1-02 : RoomController in Reading\ndevice PS-1')
        .replace('land RC-1-01.link 6 m', 'land RC-1-01.link 6 m\n  land RC-1-02.link 5 m'),
    ).site;
    const points = profileOf(longer, longer.buses.get('room-1')!).map((point) => ({
      across: point.distanceM,
      up: point.voltage?.value,
    }));
    expect(points.map(({ across }) => across)).toEqual([0, 6, 11]);
    expect(plotsOf(calculations(longer))).toMatchObject([
      { least: 11, lines: [points.slice(0, 2), points.slice(1)] },
    ]);
  });
});

describe('the calculations of the examples', () => {
  it.each(examples())('hold every value of each bus and feed of $name', (example) => {
    const { site } = checkedExample(example).open;
    const rows = rowsOf(calculations(site), 'calculations');
    for (const run of [...site.buses.values(), ...site.feeds.values()]) {
      const shown = rows.filter((row) => row['circuit'] === run.name && row['of'] === run.name);
      expect(shown.map((row) => valueOf(row['value']))).toEqual(
        factsOf(site, run.name).map(({ value }) => value),
      );
    }
  });

  it.each(examples())(
    'never let a voltage rise along a feed with one source in $name',
    (example) => {
      const { site } = checkedExample(example).open;
      let compared = 0;
      for (const feed of site.feeds.values()) {
        const points = profileOf(site, feed);
        for (const point of points) {
          const before = point.before === undefined ? undefined : points[point.before];
          const from = before?.voltage?.value;
          const to = point.voltage?.value;
          if (feed.and === undefined && typeof from === 'number' && typeof to === 'number') {
            compared += 1;
            expect(to).toBeLessThanOrEqual(from + 1e-9);
            expect(point.distanceM ?? 0).toBeGreaterThanOrEqual(before?.distanceM ?? 0);
          }
        }
      }
      expect(compared > 0 || example.name.startsWith(`${brokenFolder}/`)).toBe(true);
    },
  );
});

function plotsOf({ sections }: Document): readonly Block[] {
  return sections.flatMap(({ blocks }) => blocks.filter(({ kind }) => kind === 'plot'));
}

function rowsOf(document: Document, name: string): readonly Readonly<Record<string, Cell>>[] {
  return tablesOf(document)
    .filter((table) => table.name === name)
    .flatMap((table) =>
      table.rows.map((row) =>
        Object.fromEntries(
          table.columns.map((column, index): [string, Cell] => [column.heading, row[index]!]),
        ),
      ),
    );
}

function valueOf(cell: Cell | undefined): number | null {
  return typeof cell === 'object' && !isPhrase(cell) && cell.kind === 'quantity'
    ? cell.value
    : null;
}

function textOf(block: Block): string {
  return block.kind === 'paragraph'
    ? block.text
        .map((part) =>
          typeof part === 'string' ? part : `${part.value} ${part.unit} ${part.mark}`,
        )
        .join('')
    : '';
}
