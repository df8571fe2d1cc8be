/** What an editor offers without a finding: moving, renumbering, reordering, splitting; and tables pasted. */
import { readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { nodeFiles } from '../../src/disk/node-files.js';
import { applyChanges } from '../../src/language/write.js';
import { compareNames, nameOf } from '../../src/model/site.js';
import { pastedTable } from '../../src/workbench/editing/paste-table.js';
import { refactorsAt, type Refactor } from '../../src/workbench/editing/refactors.js';
import { Workbench } from '../../src/workbench/workbench.js';
import { counted, filesIn, lines, siteOf, testDay } from '../support/site.js';

const common = readFileSync('src/rules/common.ferrule', 'utf8');
const used = { 'common.ferrule': common };

const head = `use "./common.ferrule"

site Mill "Mill house" { severity template-unused off }

area Ground level 0 m {
  room Hall at 2 m, 2 m
  room Shop at 12 m, 2 m
  room Yard at 22 m, 2 m
}
`;

/** The refactorings at `|` in a text. */
function at(marked: string, others: Readonly<Record<string, string>> = used) {
  const offset = filesIn(marked)['site.ferrule']!.indexOf('|');
  const text = marked.replace('|', '');
  const site = siteOf(text, others);
  const refactors = refactorsAt(site.open, 'site.ferrule', offset, () => false);
  return { text, site, refactors, titles: refactors.map(({ title }) => title) };
}

function changed(text: string, refactor: Refactor): string {
  return applyChanges(text, refactor.changes);
}

describe('renumbering in walking order', () => {
  const text = `${head}
device ZP-1 : ZonePanel in Hall { address 30  inlet supply from PS-1.out }
device FU-1 : FanUnit in Hall { address 7 }
device FU-2 : FanUnit in Shop { address 5 }
device FU-3 : FanUnit in Yard { address 6 }

bus zone-1 : ZoneLink using PlainPair {
  land ZP-1.zone
  land FU-1.zone 8 m|
  land FU-2.zone 8 m
  land FU-3.zone 8 m
}
`;

  it('lets the addresses change hands, and says how many must be set', () => {
    const found = at(text);
    const refactor = found.refactors.find(({ title }) => title.startsWith('Renumber'))!;
    expect(refactor.title).toBe(
      'Renumber zone-1 in walking order: 3 addresses must be set anew on site',
    );
    const after = changed(found.text, refactor);
    expect(after).toContain('device FU-1 : FanUnit in Hall { address 5 }');
    expect(after).toContain('device FU-2 : FanUnit in Shop { address 6 }');
    expect(after).toContain('device FU-3 : FanUnit in Yard { address 7 }');
    expect(after).toContain('device ZP-1 : ZonePanel in Hall { address 30 ');
    expect(at(after.replace('land FU-1.zone 8 m', 'land FU-1.zone 8 m|')).titles).not.toContain(
      refactor.title,
    );
  });

  it('is not offered where two units share an address', () => {
    expect(at(text.replace('address 6', 'address 5')).titles.join()).not.toContain('Renumber');
  });
});

describe('moving a landing', () => {
  it('lands the port on a bus that has room, and raises nothing new', () => {
    const { text, site, refactors } = at(`${head}
device ZP-1 : ZonePanel in Hall { address 1 }
device ZP-2 : ZonePanel in Yard { address 1 }
device FU-1 : FanUnit in Hall { address 2 }
device FU-2 : FanUnit in Shop { address 3 }
device FU-3 : FanUnit in Yard { address 4 }

bus zone-1 : ZoneLink using PlainPair {
  land ZP-1.zone
  land FU-1.zone 8 m
  land FU-2.zone| 8 m
}

bus zone-2 : ZoneLink using PlainPair {
  land ZP-2.zone
  land FU-3.zone 8 m
}
`);
    const move = refactors.find(({ kind }) => kind === 'move')!;
    expect(move.title).toBe('Move FU-2.zone from zone-1 to zone-2, with a cable from FU-3');
    const after = changed(text, move);
    expect(after).toContain('  land FU-3.zone 8 m\n  land FU-2.zone\n}');
    const before = new Set(counted(site.findings).map(({ finding }) => finding.rule));
    expect(
      counted(siteOf(after, used).findings).filter(({ finding }) => !before.has(finding.rule)),
    ).toEqual([]);
  });
});

describe('reordering', () => {
  it('is offered with the metres that it saves', () => {
    const { titles } = at(`${head}
device ZP-1 : ZonePanel in Hall { address 1 }
device FU-1 : FanUnit in Yard { address 2 }
device FU-2 : FanUnit in Shop { address 3 }
device FU-3 : FanUnit in Yard { address 4 }

bus zone-1| : ZoneLink using PlainPair {
  land ZP-1.zone
  land FU-1.zone
  land FU-2.zone
  land FU-3.zone
}
`);
    expect(titles.filter((title) => title.startsWith('Reorder zone-1'))).toHaveLength(1);
    expect(titles.join()).toMatch(/shortest route: [\d.]+ m less cable/u);
  });
});

describe('splitting by floor', () => {
  it.each(['examples/library/library.ferrule'])('keeps what %s says and finds', (name) => {
    const folder = path.resolve('examples');
    const root = path.relative(folder, name);
    const workbench = new Workbench(nodeFiles({ base: folder, places: ['.'] }));
    const checked = workbench.check(root, testDay)!;
    const file = checked.open.files[0]!;
    const [refactor] = refactorsAt(checked.open, root, file.text.indexOf('area '), () => false);
    expect(refactor!.title).toBe(
      'Split by floor: 3 new files, roof.ferrule, first.ferrule, ground.ferrule',
    );
    const after = new Workbench(nodeFiles({ base: folder, places: ['.'] }));
    for (const one of refactor!.newFiles) {
      after.setText(one.path, one.text);
    }
    after.setText(root, changed(file.text, refactor!));
    const then = after.check(root, testDay)!;
    const records = (one: typeof checked) =>
      one.open.site.entries
        .flatMap(({ record }) => (nameOf(record) === undefined ? [] : [record]))
        .sort((left, right) => compareNames(nameOf(left)!, nameOf(right)!));
    expect(records(then)).toEqual(records(checked));
    const rules = (one: typeof checked) =>
      one.findings.map(({ finding }) => `${finding.rule} ${finding.subject}`).sort();
    expect(rules(then)).toEqual(rules(checked));
    expect(refactor!.newFiles[2]!.text).toContain('device IU-G1 : CeilingUnit-71 in Entrance');
    expect(changed(file.text, refactor!)).not.toContain('device IU-G1');
  });

  it('is not offered for one floor', () => {
    expect(at(head.replace('area Ground', 'area |Ground')).titles).toEqual([]);
  });

  it('works in a file without a use line, whose first declaration leaves', () => {
    const { text, refactors } = at(
      'area |A level 0 m {\n  room X\n}\n\narea B level 3 m {\n  room Y\n}\n\nsite S "S"\n',
      {},
    );
    expect(changed(text, refactors[0]!)).toBe(
      'use "./a.ferrule"\nuse "./b.ferrule"\n\nsite S "S"\n',
    );
  });
});

describe('a pasted table', () => {
  const { site } = siteOf(
    `${head}
board DB-1 in Hall {
  way W1 230 VAC 10 A curve B
  way W2 400 VAC three-phase 16 A curve C
}
device FU-1 : FanUnit in Hall { address 1 }
`,
    used,
  );

  it('with headings gives devices in canonical form', () => {
    const { text, devices, left } = pastedTable(
      site,
      'Address\tTag\tType\tRoom\r\n2\tFU-2\tFanUnit\tShop\r\n3\tFU-3\tFanUnit\tYard\r\n',
    );
    expect(text).toBe(
      'device FU-2 : FanUnit in Shop { address 2 }\ndevice FU-3 : FanUnit in Yard { address 3 }\n',
    );
    expect(devices).toEqual(['FU-2', 'FU-3']);
    expect(left).toEqual([]);
  });

  it('takes the supply where one inlet fits it', () => {
    const { text, left } = pastedTable(
      site,
      'OU-1\tOutdoorUnit\tYard\t9\tDB-1.W2\nOU-2\tOutdoorUnit\tYard\t10\tDB-1.W1\n',
    );
    expect(text).toContain(
      'device OU-1 : OutdoorUnit in Yard { address 9  inlet mains from DB-1.W2 }',
    );
    expect(text).toContain('device OU-2 : OutdoorUnit in Yard { address 10 }');
    expect(left.map(({ line, why }) => `${line} ${why}`)).toEqual([
      '2 No inlet of OutdoorUnit fits DB-1.W1; it was left out.',
    ]);
  });

  it('drops nothing silently', () => {
    const table = [
      'name\tequipment\troom\taddress\tcolour',
      'FU-1\tFanUnit\tHall\t4\tred',
      'FU 4\tFanUnit\tHall\t5',
      'FU-5\tFanUnti\tHall\t6',
      'FU-6\tFanUnit\tHal\tseven',
      '\tFanUnit',
      'FU-7\tFanUnit\tHall\t8\t\textra',
    ].join('\n');
    const { devices, left } = pastedTable(site, table);
    expect(devices).toEqual(['FU-6', 'FU-7']);
    expect(left.map(({ line, why }) => `${line} ${why}`)).toEqual([
      '1 "colour" is no column that is known, so what stands below it was left out.',
      '2 "FU-1" is already the name of something in this site.',
      '3 "FU 4" is not a name: a name starts with a letter and goes on with letters, digits, _ and - between them.',
      '4 There is no equipment "FanUnti" in this site. Did you mean "FanUnit"?',
      '5 There is no room "Hal"; it was left out. Did you mean "Hall"?',
      '5 "seven" is no address, which is a whole number; it was left out.',
      '6 It has no name.',
      '7 "extra" stands in a column of its own, which is not known; it was left out.',
    ]);
  });

  it('reads cells between quotes, with line breaks and quotes in them', () => {
    const { text, left } = pastedTable(
      site,
      'name\tequipment\ttitle\nFU-8\tFanUnit\t"At the ""old""\ndoor"\nFU-9\tFanUnit\n',
    );
    expect(text).toContain(String.raw`device FU-8 "At the \"old\" door" : FanUnit`);
    expect(text).toContain('device FU-9 : FanUnit');
    expect(left).toEqual([]);
    const site8 = siteOf(`${head}\n${text}`, used);
    expect(lines(site8.findings).filter((one) => one.includes('syntax-error'))).toEqual([]);
  });
});
