/** The whole pack: its files, its status, its numbers, and what hostile texts do to it. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { quantitiesOf, tablesOf } from '../../src/documents/document.js';
import type { Block, Document, Phrase } from '../../src/documents/document.js';
import { packOf, packValue } from '../../src/documents/pack.js';
import type { PackFile, PackInput } from '../../src/documents/pack.js';
import { fileNames } from '../../src/documents/render/file-names.js';
import { factsOfSite } from '../../src/analysis/facts.js';
import { FORMULAS } from '../../src/analysis/formulas.js';
import type { Finding } from '../../src/model/finding.js';
import type { Site } from '../../src/model/site.js';
import { poweredPlans, siteOfPlan } from '../support/powered-sites.js';
import { siteOf } from '../support/site.js';
import { libraryText } from './library.js';

const on = '2026-11-25';
const input: PackInput = { findings: [], on, drawings: [] };

describe('the files of a pack', () => {
  const { site } = siteOf(libraryText);
  const files = packOf(site, {
    ...input,
    drawings: [
      { name: 'topology', svg: '<svg>1</svg>' },
      { name: 'terminals-field-1', svg: '<svg>2</svg>' },
    ],
  });

  it('have stable names', () => {
    expect(files.map((file) => file.path)).toEqual([
      'cover.md',
      'connection-schedule.md',
      'cable-schedule.md',
      'material.md',
      'calculations.md',
      'address-plan.md',
      'ip-plan.md',
      'order-of-work.md',
      'terminal-tests.md',
      'commissioning.md',
      'labels.md',
      'drawings/topology.svg',
      'drawings/terminals-field-1.svg',
      'data/findings-count.csv',
      'data/sureness.csv',
      'data/connection-schedule.csv',
      'data/terminal-fittings.csv',
      'data/cable-schedule.csv',
      'data/material-equipment.csv',
      'data/material-mains.csv',
      'data/material-cable.csv',
      'data/material-cable-without-type.csv',
      'data/material-cutting.csv',
      'data/material-small.csv',
      'data/calculations.csv',
      'data/calculations-working.csv',
      'data/calculations-profile.csv',
      'data/calculations-formulas.csv',
      'data/address-plan.csv',
      'data/isolation-points.csv',
      'data/isolation-enclosures.csv',
      'data/energising-readings.csv',
      'data/terminal-tests.csv',
      'data/commissioning-ohms.csv',
      'data/commissioning-idle.csv',
      'data/commissioning-voltages.csv',
      'data/commissioning-finds.csv',
      'data/commissioning-addresses.csv',
      'data/commissioning-symptoms.csv',
      'data/labels-devices.csv',
      'data/labels-cables.csv',
      'data/labels-wires.csv',
    ]);
  });

  it('pass drawings on as they came', () => {
    expect(textOf(files, 'drawings/terminals-field-1.svg')).toBe('<svg>2</svg>');
    expect(textOf(files, 'connection-schedule.md')).toContain('drawings/terminals-field-1.svg');
  });

  it('are linked from the cover, all of them', () => {
    const cover = textOf(files, 'cover.md');
    for (const { path } of files.filter((file) => /\.(md|svg)$/u.test(file.path))) {
      if (path !== 'cover.md') {
        expect(cover).toContain(`](${path})`);
      }
    }
  });

  it('end with one line feed and hold no carriage return or trailing blank', () => {
    for (const { path, text } of files.filter((file) => !file.path.endsWith('.svg'))) {
      expect(text.endsWith('\n') && !text.endsWith('\n\n'), path).toBe(true);
      expect(text.includes('\r'), path).toBe(false);
      expect(/[ \t]$/mu.test(text), path).toBe(false);
    }
  });

  it('say in each document what is reserved', () => {
    for (const { path, text } of files.filter((file) => file.path.endsWith('.md'))) {
      expect(text, path).toContain('approved by a competent person');
      expect(text, path).toContain('deferred to a licensed electrician');
      expect(text, path).toContain('the law and codes of the place');
    }
  });

  it('are the same bytes for the same text', () => {
    expect(packOf(siteOf(libraryText).site, input)).toEqual(
      packOf(siteOf(libraryText).site, input),
    );
  });
});

describe('the status of a pack', () => {
  const approvedText = libraryText.replace(
    'owner "Millrace Council"',
    'owner "Millrace Council"  approved "I. Brunel"  issued 2026-11-20',
  );
  const error: Finding = {
    rule: 'bus-too-long',
    severity: 'error',
    subject: 'field-1',
    at: { declaration: 'field-1', part: 'name' },
    what: 'field-1 is 1040 m long.',
    why: 'The limit is 1000 m.',
    remedy: 'Shorten it.',
    related: [],
    facts: [],
    waived: null,
  };

  it('forbids to build where the site has errors, on every file', () => {
    const files = packOf(siteOf(approvedText).site, { ...input, findings: [error] });
    for (const { path, text } of files) {
      expect(text, path).toContain('NOT FOR CONSTRUCTION');
    }
    expect(textOf(files, 'cover.md')).toContain(
      '| error | bus-too-long | field-1 | field-1 is 1040 m long. The limit is 1000 m. Shorten it. |',
    );
    expect(textOf(files, 'cover.md')).toContain('| errors | 1 (C) |');
  });

  it('is preliminary until somebody approved it and it was issued', () => {
    const preliminary = 'Preliminary, to be approved by a competent person';
    for (const text of [
      libraryText,
      approvedText.replace('issued 2026-11-20', ''),
      approvedText.replace('approved "I. Brunel"', ''),
      approvedText.replace('I. Brunel', ' '),
    ]) {
      for (const file of packOf(siteOf(text).site, input)) {
        expect(file.text, file.path).toContain(preliminary);
        expect(file.text).not.toContain('NOT FOR CONSTRUCTION');
      }
    }
    const approved = packOf(siteOf(approvedText).site, input);
    expect(textOf(approved, 'cover.md')).toContain('Approved by I. Brunel, issued 2026-11-20');
    expect(approved.some((file) => file.text.includes(preliminary))).toBe(false);
  });

  it('lists what was accepted with its reason and its end', () => {
    const waived: Finding = {
      ...error,
      waived: { because: 'tested by the site team', until: '2027-03-31', upTo: null },
    };
    const files = packOf(siteOf(approvedText).site, { ...input, findings: [waived] });
    expect(textOf(files, 'cover.md')).toContain(
      '| bus-too-long | field-1 | field-1 is 1040 m long. | tested by the site team | 2027-03-31 |',
    );
    expect(textOf(files, 'cover.md')).not.toContain('NOT FOR CONSTRUCTION');
  });
});

describe('the numbers of a pack', () => {
  const { site } = siteOf(libraryText);
  const { documents } = packValue(site, input);

  it('never stand in plain text without their mark', () => {
    const written = textsWrittenIn(site);
    for (const document of documents) {
      for (const text of plainTexts(document)) {
        const own = written.reduce((rest, each) => rest.replaceAll(each, ''), text);
        expect(own, `${document.id}: ${text}`).not.toMatch(
          /\d\s?(?:m|mm|mm2|V|VAC|VDC|mV|A|mA|VA|W|ohm|kohm|%|s|ms|baud|C)(?![\p{L}\d])/u,
        );
      }
    }
  });

  it('are counted on the cover by how they are known', () => {
    const cover = documents[0]!;
    const table = tablesOf(cover).find(({ name }) => name === 'sureness')!;
    documents.slice(1).forEach((document, index) => {
      const marks = quantitiesOf(document).map((quantity) => quantity.mark);
      const counted = table.rows[index]!.slice(1).map((cell) =>
        typeof cell === 'object' && 'value' in cell ? cell.value : undefined,
      );
      expect(counted).toEqual(
        ['stated', 'computed', 'estimated', 'assumed', 'measured', 'published'].map(
          (mark) => marks.filter((one) => one === mark).length,
        ),
      );
    });
    expect(
      documents.flatMap(quantitiesOf).filter((quantity) => quantity.mark === 'estimated').length,
    ).toBeGreaterThan(0);
  });

  it('are finite in any site', () => {
    fc.assert(
      fc.property(poweredPlans, (plan) => {
        for (const document of packValue(siteOfPlan(plan), input).documents) {
          for (const quantity of quantitiesOf(document)) {
            expect(Number.isFinite(quantity.value)).toBe(true);
          }
        }
      }),
      { numRuns: 300 },
    );
  });
});

describe('texts that people wrote', () => {
  const evil = `=HYPERLINK(""a"",1)|<b>|غرفة ⟨3⟩|'@x|👷🏽|50 %`.replaceAll('"', "'");
  const hostile = libraryText
    .replace('"Millrace Community Library"', `"${evil}"`)
    .replace('"Touch panel"', `"${evil}"`)
    .replace('room Studio at', `room Studio "${evil}" at`)
    .replace('"Mains terminals are in the same box as the link terminals."', `"${evil}"`);
  const { site } = siteOf(hostile);
  const files = packOf(site, input);

  it('are read by the site as written', () => {
    expect(site.settings?.title).toBe(evil);
    expect(site.equipment.get('ZoneController')?.title).toBe(evil);
  });

  it('survive in every form and start nothing', () => {
    const cells = files
      .filter((file) => file.path.endsWith('.csv'))
      .flatMap((file) => file.text.split('\n'))
      .flatMap((line) => line.split(',').map((cell) => cell.replace(/^"/u, '')));
    expect(cells.filter((cell) => /^[=+@]|^-(?!\d+(?:\.\d+)?$)/u.test(cell))).toEqual([]);
    expect(textOf(files, 'data/material-equipment.csv')).toContain(`"'${evil}"`);
    expect(textOf(files, 'commissioning.md')).toContain('غرفة');
    expect(textOf(files, 'order-of-work.md')).toContain('👷🏽');
    for (const { path, text } of files.filter((file) => file.path.endsWith('.md'))) {
      expect(text.replaceAll('\\<', '').replaceAll('<br>', ''), path).not.toContain('<b');
      const columns = text
        .split('\n')
        .filter((line) => line.trimStart().startsWith('|'))
        .map((line) => [line, line.replaceAll('\\|', '').split('|').length] as const);
      columns.forEach(([line, number], index) => {
        const before = columns[index - 1];
        if (before !== undefined && /^\s*\| (?:---|---:)/u.test(line)) {
          expect(number, line).toBe(before[1]);
        }
      });
    }
  });
});

describe('any site', () => {
  it('gives a pack with unique relative paths', () => {
    fc.assert(
      fc.property(poweredPlans, (plan) => {
        const paths = packOf(siteOfPlan(plan), input).map((file) => file.path);
        expect(new Set(paths).size).toBe(paths.length);
        expect(paths.every((path) => /^(?:[\w-]+\/)?[\w-]+\.(?:md|csv|svg)$/u.test(path))).toBe(
          true,
        );
      }),
      { numRuns: 200 },
    );
  });

  it('gives a pack while it is half-typed', () => {
    const lines = libraryText.split('\n');
    for (let end = 0; end <= lines.length; end += 3) {
      const { site, findings } = siteOf(lines.slice(0, end).join('\n'));
      const files = packOf(site, { ...input, findings: findings.map(({ finding }) => finding) });
      expect(files.length).toBeGreaterThan(7);
    }
  });

  it('gives an empty pack for an empty site', () => {
    const files = packOf(siteOf('').site, input);
    expect(textOf(files, 'order-of-work.md')).toContain('Nothing of this site is new');
    expect(textOf(files, 'ip-plan.md')).toContain('no IP network');
  });
});

describe('fileNames', () => {
  it.each([
    [
      ['topology', 'terminals-field-1'],
      ['topology', 'terminals-field-1'],
    ],
    [
      ['a/b', '../x', 'a b'],
      ['a-b', 'x', 'a-b-2'],
    ],
    [
      ['CON', 'aux', ''],
      ['drawing-CON', 'drawing-aux', 'drawing'],
    ],
    [
      ['Field', 'field'],
      ['Field', 'field-2'],
    ],
    [['Küche'], ['Küche']],
  ])('makes %j into %j', (names, expected) => {
    expect(fileNames(names)).toEqual(expected);
  });

  it('never leaves the folder and never gives one name twice', () => {
    fc.assert(
      fc.property(
        fc.array(fc.string({ unit: 'binary', maxLength: 12 }), { maxLength: 8 }),
        (names) => {
          const made = fileNames(names);
          expect(new Set(made.map((name) => name.toLowerCase())).size).toBe(names.length);
          expect(made.every((name) => /^[\p{L}\p{N}_-]+$/u.test(name))).toBe(true);
        },
      ),
      { numRuns: 1000 },
    );
  });
});

function textOf(files: readonly PackFile[], path: string): string {
  return files.find((file) => file.path === path)?.text ?? '';
}

/** Titles and cautions, which may hold numbers of any kind, and citations. */
function textsWrittenIn(site: Site): readonly string[] {
  return [
    ...[...site.cables.values(), ...site.equipment.values()].flatMap((one) => one.title ?? []),
    ...[...site.equipment.values()].flatMap((one) => one.cautions),
    // A citation says itself where its numbers come from; a formula and a term's name are no values.
    ...Object.values(FORMULAS),
    ...factsOfSite(site).flatMap(({ source, terms }) => [
      source ?? '',
      ...terms.map(({ name }) => name),
    ]),
  ]
    .filter((text) => text !== '')
    .sort((one, other) => other.length - one.length);
}

/** Every string of a document that is not a number with its mark. */
function plainTexts(document: Document): readonly string[] {
  const found: string[] = [document.title];
  const take = (phrase: Phrase): void => {
    found.push(...phrase.filter((each) => typeof each === 'string'));
  };
  const visit = (block: Block): void => {
    switch (block.kind) {
      case 'paragraph':
      case 'caution':
      case 'note':
        take(block.text);
        break;
      case 'list':
        block.items.forEach(take);
        break;
      case 'fields':
        block.fields.forEach(({ content }) => {
          if (Array.isArray(content)) {
            take(content as Phrase);
          }
        });
        break;
      case 'steps':
        block.steps.forEach((step) => {
          take(step.text);
          step.details.forEach(visit);
        });
        break;
      case 'table':
        take(block.caption);
        found.push(...block.columns.map((column) => column.heading));
        found.push(...block.rows.flat().filter((cell) => typeof cell === 'string'));
        break;
      case 'labels':
        found.push(...block.labels);
        break;
      case 'plot':
        found.push(block.title, block.across.title, block.up.title, block.leastTitle);
        break;
      case 'links':
        block.links.forEach((link) => take(link.about));
        break;
      case 'commands':
      case 'drawing':
        break;
    }
  };
  [...document.introduction, ...document.sections.flatMap((section) => section.blocks)].forEach(
    visit,
  );
  return found;
}
