/** What continuous integration reads, and what it does not judge again. */
import { existsSync, readFileSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import Ajv from 'ajv';
import { beforeAll, describe, expect, it } from 'vitest';
import { inProject } from '../../scripts/lib/root.mjs';
import { CommandLine, smallSite } from '../support/command-line.js';
import { PYTHON_INSTALL, pythonIsInstalled, runPython } from '../support/python.js';
import { Repository } from '../support/repository.js';

const command = CommandLine.forTests();
const on = ['--on', '2026-11-25'];
const check = (...args: string[]) => command().run('check', ...args, ...on);

/** One bus that is too long and accepted, one that is not, a hint each; names that a format must escape. */
const lengthy = smallSite.replace('40 m', '140 m');
const title = '"A & B <50 %>, 2: ü"';
const mixed = `${lengthy.replace('"Small site"', title)}
accept bus-too-long on line-1 up to 150 m because "existing, tested & <noted>" until 2027-03-31

device M-2 : Master { address 1 }
device N-2 : Node { address 2 }

bus line-2 : Line using Pair {
  land M-2.line terminated
  land N-2.line 130 m terminated
}
`;

/** The schema of the OASIS Standard "SARIF Version 2.1.0", as @microsoft/jest-sarif carries it. */
const schema = JSON.parse(
  readFileSync(
    inProject('node_modules/@microsoft/jest-sarif/lib/schemas/sarif-2.1.0-rtm.5.json'),
    'utf8',
  ),
) as object;
const draft4 = JSON.parse(
  readFileSync(inProject('node_modules/ajv/lib/refs/json-schema-draft-04.json'), 'utf8'),
) as object;
// Formats of URIs and dates are not judged, only the structure.
const isSarif = new Ajv({ schemaId: 'id', meta: false, allErrors: true, format: false })
  .addMetaSchema(draft4)
  .compile(schema);

interface Sarif {
  readonly runs: readonly {
    readonly results: readonly {
      readonly ruleId: string;
      readonly level: string;
      readonly suppressions: readonly { readonly justification: string }[];
      readonly locations: readonly {
        readonly physicalLocation: {
          readonly artifactLocation: { readonly uri: string };
          readonly region: Readonly<Record<string, number>>;
        };
      }[];
    }[];
  }[];
}

beforeAll(async () => {
  await command().write('mixed/a site.ferrule', mixed);
  await command().write('clean/site.ferrule', smallSite);
});

describe('ferrule check --format sarif', () => {
  it.each([
    ['a site with findings and a waiver', 'mixed', 1],
    ['a site without a finding', 'clean', 0],
  ])('is valid SARIF 2.1.0 for %s', async (_what, folder, wanted) => {
    const { code, out } = await check(folder, '--format', 'sarif');
    isSarif(JSON.parse(out));
    expect({ code, errors: isSarif.errors }).toEqual({ code: wanted, errors: null });
  });

  it('is judged by a schema that refuses what is wrong', async () => {
    const { out } = await check('mixed', '--format', 'sarif');
    expect(isSarif(JSON.parse(out.replace('"level": "error"', '"level": "bad"')))).toBe(false);
  });

  it('puts each finding at its line, and a waiver with its reason', async () => {
    const { out } = await check('mixed', '--format', 'sarif');
    const { results } = (JSON.parse(out) as Sarif).runs[0]!;
    const told = results
      .filter(({ ruleId }) => ruleId === 'bus-too-long')
      .map(({ level, suppressions, locations }) => ({
        level,
        because: suppressions.map((one) => one.justification),
        uri: locations[0]!.physicalLocation.artifactLocation.uri,
        line: mixed.split('\n')[locations[0]!.physicalLocation.region['startLine']! - 1],
      }));
    expect(told).toEqual([
      {
        level: 'error',
        because: ['accepted up to 150 m until 2027-03-31 because "existing, tested & <noted>"'],
        uri: 'mixed/a%20site.ferrule',
        line: '  land N-1.line 140 m terminated',
      },
      {
        level: 'error',
        because: [],
        uri: 'mixed/a%20site.ferrule',
        line: '  land N-2.line 130 m terminated',
      },
    ]);
  });
});

describe('ferrule check --format junit', () => {
  const name = 'is XML that a parser of its own reads, with counts that agree';
  it.skipIf(!pythonIsInstalled())(`${name} (${PYTHON_INSTALL})`, async () => {
    const { code, out } = await check('mixed', 'clean', '--format', 'junit');
    const read = runPython(
      [
        'import json, sys, xml.etree.ElementTree as tree',
        'root = tree.fromstring(json.load(sys.stdin))',
        'cases = list(root.iter("testcase"))',
        'print(json.dumps({"suites": [one.get("name") for one in root],',
        '  "counted": [int(root.get(name)) for name in ("tests", "failures", "skipped")],',
        '  "found": [len(cases), len(list(root.iter("failure"))), len(list(root.iter("skipped")))],',
        '  "skipped": [one.get("message") for one in root.iter("skipped")]}))',
      ].join('\n'),
      out,
    );
    expect(code).toBe(1);
    expect(read).toEqual({
      suites: ['clean/site.ferrule', 'mixed/a site.ferrule'],
      counted: [3, 1, 1],
      found: [3, 1, 1],
      skipped: ['accepted up to 150 m until 2027-03-31 because "existing, tested & <noted>"'],
    });
  });
});

describe('ferrule check --format github', () => {
  it('keeps within what the host shows, most important first, and counts the rest', async () => {
    const buses = Array.from(
      { length: 14 },
      (_, index) => `device M-${index + 5} : Master { address 1 }
device N-${index + 5} : Node { address 2 }
bus far-${index} : Line using Pair {
  land M-${index + 5}.line terminated
  land N-${index + 5}.line 130 m terminated
}
`,
    ).join('\n');
    await command().write('many/site.ferrule', `${smallSite}\n${buses}`);
    const { code, out } = await check('many', '--format', 'github');
    const lines = out.trim().split('\n');
    expect(code).toBe(1);
    expect(lines.filter((line) => line.startsWith('::error '))).toHaveLength(10);
    expect(lines.filter((line) => line.startsWith('::notice '))).toHaveLength(1);
    expect(lines.at(-2)).toMatch(/^::notice title=ferrule::4 more findings are not shown/u);
    expect(lines.at(-1)).toMatch(/^14 errors, 0 warnings/u);
  });

  it('escapes what the host would read as its own signs', async () => {
    await command().write('si:gns, 50%/site.ferrule', lengthy);
    const { out } = await check('si:gns, 50%', '--format', 'github');
    expect(out.split('\n')[0]).toMatch(
      /^::error file=si%3Agns%2C 50%25\/site\.ferrule,line=\d+,endLine=\d+,col=\d+,endColumn=\d+,title=bus-too-long on line-1::/u,
    );
  });
});

it('ferrule check --format gitlab lists what is open, each with a key of its own', async () => {
  const { out } = await check('mixed', '--format', 'gitlab');
  const list = JSON.parse(out) as readonly Record<string, unknown>[];
  expect(list.map((one) => [one['check_name'], one['severity']])).toEqual([
    ['bus-too-long', 'critical'],
  ]);
  expect(list[0]).toMatchObject({
    fingerprint: 'bus-too-long:mixed%2Fa%20site.ferrule:line-2',
    location: { path: 'mixed/a site.ferrule', lines: { begin: expect.any(Number) as number } },
  });
});

describe('ferrule check --baseline', () => {
  const baseline = ['--baseline', 'known.json'];
  const listed = async () =>
    (JSON.parse(await readFile(command().path('known.json'), 'utf8')) as { findings: object[] })
      .findings;

  it('adopts once, then judges what is new or worse, and only shrinks', async () => {
    await command().write('old/site.ferrule', lengthy);
    const missing = await check('old', ...baseline);
    expect(missing).toMatchObject({ code: 2, out: '' });
    expect(missing.error).toContain('--adopt');
    const adopted = await check('old', ...baseline, '--adopt');
    expect(adopted.code).toBe(0);
    expect(await listed()).toEqual([
      { rule: 'bus-too-long', file: 'old/site.ferrule', subject: 'line-1', value: 140, unit: 'm' },
    ]);
    expect((await check('old', ...baseline, '--adopt')).code).toBe(2);
    const again = await check('old', ...baseline);
    expect(again.code).toBe(0);
    expect(again.error).toContain('1 finding in the baseline');

    await command().write('old/site.ferrule', smallSite.replace('40 m', '120 m'));
    expect((await check('old', ...baseline)).code).toBe(0);
    expect(await listed()).toMatchObject([{ value: 120 }]);
    await command().write('old/site.ferrule', lengthy);
    const worse = await check('old', ...baseline);
    expect(worse.code).toBe(1);
    expect(worse.out).toContain('bus-too-long');
    expect(await listed()).toEqual([]);
  });

  it('keeps what a run did not look at', async () => {
    await command().write('two/a/site.ferrule', lengthy);
    await command().write('two/b/site.ferrule', lengthy);
    const file = ['--baseline', 'two.json'];
    expect((await check('two', ...file, '--adopt')).code).toBe(0);
    const before = await readFile(command().path('two.json'), 'utf8');
    expect((await check('two/a', ...file)).code).toBe(0);
    expect(await readFile(command().path('two.json'), 'utf8')).toBe(before);
  });

  it.each([
    ['no JSON', 'text'],
    ['another version', '{ "schemaVersion": 9, "findings": [] }'],
    ['no findings', '{ "schemaVersion": 1, "findings": [1] }'],
  ])('refuses a file with %s', async (_what, text) => {
    await command().write('bad.json', text);
    const { code, error } = await check('clean', '--baseline', 'bad.json');
    expect(code).toBe(2);
    expect(error).toContain('is no baseline');
  });

  it('never takes over a rule that guards life', async () => {
    await command().write(
      'mains/site.ferrule',
      `equipment Heater { role other  inlet mains 230 VAC 1 A terminals L, N }
site Mains { drawing "M-1" }
board DB-1 { way W1 230 VAC 10 A curve B }
device H-1 : Heater { inlet mains from DB-1.W1 }
`,
    );
    const file = ['--baseline', 'mains.json'];
    const plain = await check('mains');
    expect(plain.out).toContain('protective-earth-missing');
    expect((await check('mains', ...file, '--adopt')).code).toBe(1);
    expect(await readFile(command().path('mains.json'), 'utf8')).not.toContain('protective-earth');
    expect((await check('mains', ...file)).out).toContain('protective-earth-missing');
  });

  it('needs a file to adopt into', async () => {
    expect(await check('clean', '--adopt')).toMatchObject({ code: 2, out: '' });
    expect(existsSync(command().path('undefined'))).toBe(false);
  });
});

describe('ferrule check --since', () => {
  it('judges only what was not found at a revision', async () => {
    const repository = await Repository.at(command().path('history'));
    await repository.write('site.ferrule', lengthy);
    await repository.commit('First');
    const since = (ref: string) => command().runIn('history', 'check', '.', '--since', ref, ...on);
    const same = await since('HEAD');
    expect(same.code).toBe(0);
    expect(same.error).toContain('1 finding that HEAD has, too, not judged again');
    await repository.write('site.ferrule', `// A remark.\n${lengthy.replace('140 m', '150 m')}`);
    const worse = await since('HEAD');
    expect(worse.code).toBe(1);
    expect(worse.out).toContain('bus-too-long on line-1');
    await repository.write('site.ferrule', `// A remark.\n${lengthy}`);
    expect((await since('HEAD')).code).toBe(0);
    const unknown = await since('nobody');
    expect(unknown).toMatchObject({ code: 2, out: '' });
    expect((await since('-x')).code).toBe(2);
  });
});
