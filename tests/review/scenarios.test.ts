/** Named changes of one small site, each with the exact parts that change and their classes. */
import { describe, expect, it } from 'vitest';
import { applied, changesBetween, shapesOf } from '../../src/review/changes.js';
import { reviewMarkdown, reviewText } from '../../src/review/render.js';
import { isUnchanged } from '../../src/review/review.js';
import { reviewBetween } from '../../src/workbench/reviewing.js';
import { smallSite } from '../support/command-line.js';
import { siteOf } from '../support/site.js';

const base = `${smallSite}
cable Thick "2-core 1.5 mm2" {
  cores 2 x 1.5 mm2 class 5
  colours BK, WH
}

equipment Fan "Fan coil" {
  role other
  inlet mains 230 VAC 0.5 A terminals L, N, PE
  port line : Line terminals A, B as responder
}

area Level1 "Level 1" level 0 m {
  room Plant "Plant room" at 0 m, 0 m
  room Hall "Hall" at 10 m, 5 m
}

board DB-1 "Board" in Plant {
  way W1 230 VAC 10 A curve B
  way W2 230 VAC 16 A curve B
}

device F-1 "Fan" : Fan in Hall { address 3  inlet mains from DB-1.W1 using Thick 12 m }
device F-2 : Fan in Hall { address 4  inlet mains from DB-1.W1 using Thick 14 m }
device F-3 : Fan in Plant { address 5  inlet mains from DB-1.W2 using Thick 16 m }

bus line-2 : Line using Pair {
  land F-1.line terminated
  land F-2.line 5 m
  land F-3.line 6 m terminated
}
`;

const swap = (from: string, to: string) => {
  expect(base).toContain(from);
  return base.replaceAll(from, to);
};
const device = (name: string) =>
  base.split('\n').find((line) => line.startsWith(`device ${name} `))!;

type Scenario = readonly [name: string, head: () => string, parts: readonly string[]];

const scenarios: readonly Scenario[] = [
  ['nothing', () => base, []],
  ['blank lines', () => base.replaceAll('\n\n', '\n\n\n'), []],
  ['a comment', () => `// A remark.\n${base}`, []],
  ['spaces', () => swap('land F-2.line 5 m', 'land   F-2.line   5 m'), []],
  [
    'declarations in another order',
    () => `${device('F-2')}\n${swap(`${device('F-2')}\n`, '')}`,
    [],
  ],
  [
    'cable length',
    () => swap('land F-2.line 5 m', 'land F-2.line 9 m'),
    ['material changed bus line-2 landings F-2.line lengthM'],
  ],
  [
    'cable type of a run',
    () => swap('bus line-2 : Line using Pair', 'bus line-2 : Line using Thick'),
    ['material changed bus line-2 cable'],
  ],
  [
    'cable type of one landing',
    () => swap('land F-2.line 5 m', 'land F-2.line 5 m using Thick'),
    ['material added bus line-2 landings F-2.line cable'],
  ],
  [
    'a terminator gone',
    () => swap('6 m terminated', '6 m'),
    ['rewire changed bus line-2 landings F-3.line terminated'],
  ],
  [
    'a screen bonded',
    () => swap('6 m terminated', '6 m terminated bonded'),
    ['rewire changed bus line-2 landings F-3.line bonded'],
  ],
  [
    'a drop taken off',
    () => swap('  land F-2.line 5 m\n', ''),
    [
      'rewire removed bus line-2 landings F-2.line',
      'rewire changed bus line-2 landings F-3.line from',
    ],
  ],
  [
    'supply moved to another way',
    () => swap('from DB-1.W1 using Thick 12 m', 'from DB-1.W2 using Thick 12 m'),
    ['safety changed device F-1 inletLines mains from member'],
  ],
  [
    'supply cable length',
    () => swap('Thick 12 m', 'Thick 22 m'),
    ['material changed device F-1 inletLines mains lengthM'],
  ],
  [
    'supply cable type',
    () => swap('using Thick 12 m', 'using Pair 12 m'),
    ['material changed device F-1 inletLines mains cable'],
  ],
  [
    'protective device rated higher',
    () => swap('230 VAC 10 A', '230 VAC 13 A'),
    ['safety changed board DB-1 ways W1 ratedA'],
  ],
  [
    'another curve',
    () => swap('10 A curve B', '10 A curve C'),
    ['safety changed board DB-1 ways W1 curve'],
  ],
  [
    'a way added',
    () => swap('way W2', 'way W3 230 VAC 6 A\n  way W2'),
    ['safety added board DB-1 ways W3'],
  ],
  [
    'an isolator added',
    () => `${base}isolator Q-1 on DB-1.W1 in Hall lockable\n`,
    ['safety added isolator Q-1'],
  ],
  [
    'address',
    () => swap('{ address 4 ', '{ address 7 '),
    ['readdress changed device F-2 addresses address address'],
  ],
  [
    'a main controller',
    () => swap('device F-2 : Fan in Hall', 'device F-2 : Fan in Hall main'),
    ['readdress changed device F-2 main'],
  ],
  [
    'another room',
    () => swap('device F-2 : Fan in Hall', 'device F-2 : Fan in Plant'),
    ['rewire changed device F-2 room'],
  ],
  [
    'equipment of a device',
    () => swap('device F-2 : Fan', 'device F-2 : Node'),
    ['rewire changed device F-2 equipment'],
  ],
  [
    'title of a device',
    () => swap('F-1 "Fan"', 'F-1 "Fan in the hall"'),
    ['documentation changed device F-1 title'],
  ],
  [
    'title of a room',
    () => swap('"Plant room"', '"Plant"'),
    ['documentation changed area Level1 rooms Plant title'],
  ],
  [
    'revision of the drawing',
    () => swap('drawing "S-1"', 'drawing "S-1" revision "B"'),
    ['documentation added site Small revision'],
  ],
  [
    'a limit of the site',
    () => swap('drawing "S-1"', 'drawing "S-1"\n  limit voltage-drop 4 %'),
    ['budget added site Small voltageDropLimitPercent'],
  ],
  [
    'a limit of a bus type',
    () => swap('length total 100 m', 'length total 90 m'),
    ['budget changed bustype Line lengthLimitM total'],
  ],
  [
    'addresses of a bus type',
    () => swap('address 1 .. 9', 'address 1 .. 8'),
    ['readdress changed bustype Line addresses to'],
  ],
  [
    'the terminator of a bus type',
    () => swap('120 ohm', '100 ohm'),
    ['rewire changed bustype Line terminate ohm'],
  ],
  [
    'cores of a cable',
    () => swap('cores 2 x 0.75 mm2', 'cores 2 x 1 mm2'),
    ['material changed cable Pair cores size mm2'],
  ],
  [
    'a template that nothing uses',
    () => `${base}cable Spare { cores 3 x 1 mm2 }\n`,
    ['documentation added cable Spare'],
  ],
  [
    'current of equipment',
    () => swap('230 VAC 0.5 A', '230 VAC 0.8 A'),
    ['safety changed equipment Fan inlets mains currentA'],
  ],
  ['a device added', () => `${base}device X-1 : Node { address 9 }\n`, ['rewire added device X-1']],
  ['a bus removed', () => base.slice(0, base.indexOf('bus line-2')), ['rewire removed bus line-2']],
  [
    'a network added',
    () => `${base}network lan 10.0.0.0/24 { }\n`,
    ['renetwork added network lan'],
  ],
  ['a zone added', () => `${base}zone East { unit F-1 }\n`, ['documentation added zone East']],
  [
    'a waiver added',
    () => `${base}accept length-estimated on line-2 because "measured later" until 2027-01-01\n`,
    ['documentation added accept length-estimated on line-2'],
  ],
  [
    'a device there before the work',
    () => swap('device F-2 : Fan in Hall', 'device F-2 : Fan in Hall existing'),
    ['material changed device F-2 existing'],
  ],
  ['a device renamed', () => swap('F-2', 'FC-2'), []],
  [
    'a device renamed and readdressed',
    () => swap('F-2', 'FC-2').replace('{ address 4 ', '{ address 8 '),
    ['readdress changed device FC-2 addresses address address'],
  ],
  ['a bus renamed', () => swap('line-2', 'fans'), []],
  [
    'a residual current device',
    () => swap('10 A curve B', '10 A curve B rcd 30 mA'),
    ['safety added board DB-1 ways W1 rcdA'],
  ],
  [
    'a board in another room',
    () => swap('board DB-1 "Board" in Plant', 'board DB-1 "Board" in Hall'),
    ['safety changed board DB-1 room'],
  ],
  [
    'a board existing',
    () => swap('"Board" in Plant', '"Board" in Plant existing'),
    ['material changed board DB-1 existing'],
  ],
  [
    'a waiver of another rule',
    () => `${base}accept bus-too-long on line-1 because "measured" until 2027-01-01\n`,
    ['documentation added accept bus-too-long on line-1'],
  ],
  [
    'a count seen',
    () => `${base}observed M-1 finds 1 on 2026-11-20\n`,
    ['documentation added observed M-1 {"how":"finds","count":1}'],
  ],
  [
    'a remark on a bus',
    () => swap('bus line-2', '/// To be measured.\nbus line-2'),
    ['documentation added bus line-2 doc'],
  ],
  [
    'a room moved on the grid',
    () => swap('at 10 m, 5 m', 'at 12 m, 5 m'),
    ['budget changed area Level1 rooms Hall atM x'],
  ],
  [
    'a device existing on its bus',
    () => swap('land F-2.line 5 m', 'land F-2.line 5 m existing'),
    ['material changed bus line-2 landings F-2.line existing'],
  ],
  [
    'most devices of a bus type',
    () => swap('  shape chain', '  shape chain\n  drops 8'),
    ['budget added bustype Line drops'],
  ],
  [
    'a bus type that may be a tree',
    () => swap('shape chain', 'shape tree'),
    ['rewire changed bustype Line shape'],
  ],
  [
    'an area of another title',
    () => swap('"Level 1"', '"Ground"'),
    ['documentation changed area Level1 title'],
  ],
  [
    'a room added',
    () => swap('  room Hall', '  room Loft\n  room Hall'),
    ['documentation added area Level1 rooms Loft'],
  ],
  [
    'a device gone from the last place',
    () => swap('  land N-1.line 40 m terminated\n', ''),
    ['rewire removed bus line-1 landings N-1.line'],
  ],
  [
    'another number for the controller',
    () => swap('M-1 : Master { address 1 }', 'M-1 : Master { address 9 }'),
    ['readdress changed device M-1 addresses address address'],
  ],
  [
    'a board added',
    () => `${base}board DB-2 in Hall from DB-1.W2 { }\n`,
    ['safety added board DB-2'],
  ],
  [
    'colours of a cable in use',
    () =>
      swap(
        'cable Pair "2-core 0.75 mm2" {\n  cores 2 x 0.75 mm2 class 5\n  colours BK, WH',
        'cable Pair "2-core 0.75 mm2" {\n  cores 2 x 0.75 mm2 class 5\n  colours WH, BK',
      ),
    ['material changed cable Pair colours'],
  ],
  ['a tail of spaces and a last remark', () => `${base}  \n// The end.\n`, []],
  ['a board renamed', () => swap('DB-1', 'DB-A'), []],
];

/** What is not asked of the site by its text alone: places in other files. */
const moved = `//- site.ferrule\nuse "./fans.ferrule"\n${base.replace(`${device('F-2')}\n`, '')}//- fans.ferrule\n${device('F-2')}\n`;

const opened = (text: string) => {
  const site = siteOf(text.startsWith('//-') ? text : `//- site.ferrule\n${text}`);
  return { open: site.open, on: '2026-11-25', findings: site.findings };
};
const before = opened(base);

it('the small site is read whole', () => {
  expect(before.findings.filter(({ finding }) => finding.rule === 'syntax-error')).toEqual([]);
});

describe.each(scenarios)('%s', (name, head, parts) => {
  it('changes exactly these parts, and the changes lead from one site to the other', () => {
    const after = opened(head());
    const unread = after.findings.filter(({ finding }) => finding.rule === 'syntax-error');
    expect(unread.map(({ finding }) => finding.what)).toEqual([]);
    const review = reviewBetween(before, after);
    const told = review.changes.map((one) =>
      [one.class, one.how, one.kind, one.name, ...one.path].join(' '),
    );
    expect(told.sort()).toEqual([...parts].sort());
    expect(Object.values(review.counts).reduce((sum, count) => sum + count)).toBe(parts.length);
    expect(review.renames.length).toBe(name.includes('renamed') ? 1 : 0);
    const made = applied(shapesOf(before.open.site, review.renames), review.changes);
    expect(Object.fromEntries(made)).toEqual(Object.fromEntries(shapesOf(after.open.site, [])));
    const back = changesBetween(after.open.site, before.open.site);
    expect(back.changes.map((one) => one.class)).toEqual(review.changes.map((one) => one.class));
    expect(reviewText(review).includes('Nothing changed')).toBe(isUnchanged(review));
  });
});

it('a declaration in another file is no change', () => {
  expect(isUnchanged(reviewBetween(before, opened(moved)))).toBe(true);
});

it('two drops of a chain that change places are rewired', () => {
  const swapped = base.replace(
    /(land F-2.line 5 m)\n {2}(land F-3.line 6 m) terminated/u,
    '$2\n  $1 terminated',
  );
  const review = reviewBetween(before, opened(swapped));
  expect(review.class).toBe('rewire');
  expect(review.changes.map((one) => one.path.join(' '))).toEqual([
    'landings F-2.line from',
    'landings F-2.line terminated',
    'landings F-3.line from',
    'landings F-3.line terminated',
  ]);
});

it('a length beyond the limit of its bus is a new finding with its cause', () => {
  const review = reviewBetween(before, opened(base.replace('F-2.line 5 m', 'F-2.line 105 m')));
  expect(review.class).toBe('rewire');
  expect(review.findings.fresh.map((one) => one.rule)).toContain('bus-too-long');
  expect(review.effects[0]).toMatchObject({
    subject: 'line-2',
    fact: 'total-length',
    before: 11,
    after: 111,
    limit: 100,
    crossing: 'broken',
    causes: ['bus line-2'],
  });
  const back = reviewBetween(opened(base.replace('F-2.line 5 m', 'F-2.line 105 m')), before);
  expect(back.findings.resolved).toEqual(review.findings.fresh);
});

it('names the points to lock for what is touched, and nothing else', () => {
  const { work } = reviewBetween(before, opened(base.replace('Thick 12 m', 'Thick 22 m')));
  expect(work).toMatchObject({ devices: ['F-1'], boards: ['DB-1'], isolate: ['DB-1.W1'] });
});

it('a comment keeps within its limit and says how much it left out', () => {
  const many = Array.from({ length: 5000 }, (_, index) => `device Y-${index} : Node\n`).join('');
  const review = reviewBetween(before, opened(`${base}${many}`));
  const text = reviewMarkdown(review, 65_536);
  const told = text.split('\n').filter((line) => line.startsWith('- ')).length;
  const all = reviewMarkdown(review, 100_000_000)
    .split('\n')
    .filter((line) => line.startsWith('- '));
  expect(Buffer.byteLength(text)).toBeLessThanOrEqual(65_536);
  expect(Number(/^(\d+) lines left out/mu.exec(text)?.[1])).toBe(all.length - told);
});
