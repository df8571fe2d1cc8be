/** Versions that mean something: each change of a library with the step that it asks for. */
import { describe, expect, it } from 'vitest';
import { inc } from 'semver';
import {
  claimsEnough,
  leastStep,
  leastVersion,
  readLibrary,
  reasonsBetween,
} from '../../src/workbench/library.js';
import { memoryFiles } from '../../src/workbench/files.js';
import { CommandLine } from '../support/command-line.js';

const library = `/// A link.
bustype Link {
  conductors 2 polarised
  shape chain
  drops 16
  length total 500 m
  address 1 .. 64 except 13
  cable 0.75 mm2 .. 1.5 mm2 screened
  terminate both-ends 120 ohm
  signal rs485 { rate 9600 baud  unit-loads 32 }
  scan within 10 s
  power 15 VDC minimum 11 VDC
}

/// A pair.
cable Pair "2-core" {
  cores 2 x 0.75 mm2 class 5
  colours BK, WH
  screened
  rated 300 V
  reel 100 m
}

/// A panel.
equipment Panel "Wall panel" {
  role zone-controller
  inlet supply 24 VAC 10 VA tolerance 10 % terminals V0, V1
  port link : Link terminals A, B as controller { unit-load 1  takes 20 mA }
  lan eth { default 192.0.2.10/24 }
  supervises indoor-unit via link up to 16
}

/// A supply.
equipment Supply "Supply" {
  role supply
  inlet primary 230 VAC 0.5 A tolerance 10 % terminals L, N, PE
  outlet out 24 VAC 60 VA class-2 selv terminals S1, S2
}
`;

const added =
  '\n/// New.\nequipment Extra { role sensor  port link : Link terminals A, B as responder }\n';

/** What changes, the text before and after (before empty: put behind), and the step. */
const fixtures: readonly (readonly [string, string, string, string])[] = [
  ['nothing', 'A panel.', 'A panel.', 'none'],
  ['documentation', 'A panel.', 'A panel of the third kind.', 'patch'],
  ['a title', '"Wall panel"', '"Panel"', 'patch'],
  ['a new caution', 'role zone-controller', 'role zone-controller\n  caution "Hot."', 'patch'],
  ['a new template', '', added, 'minor'],
  ['a removed template', 'cable Pair', 'cable Twin', 'major'],
  ['the order of terminals', 'terminals A, B', 'terminals B, A', 'major'],
  ['the label of a terminal', 'terminals V0, V1', 'terminals V1, V2', 'major'],
  ['a renamed port', 'port link : Link', 'port bus : Link', 'major'],
  ['a new port', 'lan eth', 'port two : Link terminals C, D as responder\n  lan eth', 'minor'],
  ['a new inlet', 'lan eth', 'inlet aux 24 VDC 0.1 A terminals P, M\n  lan eth', 'major'],
  [
    'a new optional inlet',
    'lan eth',
    'inlet aux 24 VDC 0.1 A optional terminals P, M\n  lan eth',
    'minor',
  ],
  ['more load', '10 VA', '12 VA', 'major'],
  ['less load', '10 VA', '8 VA', 'minor'],
  ['a narrower tolerance', 'VA tolerance 10 %', 'VA tolerance 5 %', 'major'],
  ['a wider tolerance', 'VA tolerance 10 %', 'VA tolerance 15 %', 'minor'],
  ['a smaller rating of an outlet', '60 VA', '40 VA', 'major'],
  ['a greater rating of an outlet', '60 VA', '90 VA', 'minor'],
  ['an outlet that is no longer class 2', 'class-2 selv', 'selv', 'major'],
  ['a need for a cover', 'terminals V0', 'exposed terminals V0', 'major'],
  ['a current taken from a bus', 'takes 20 mA', 'takes 25 mA', 'major'],
  ['fewer units that it finds', 'up to 16', 'up to 8', 'major'],
  ['more units that it finds', 'up to 16', 'up to 32', 'minor'],
  ['another address as delivered', '192.0.2.10', '192.0.2.11', 'major'],
  ['a shorter bus', '500 m', '400 m', 'major'],
  ['a longer bus', '500 m', '600 m', 'minor'],
  ['fewer addresses', '1 .. 64', '1 .. 32', 'major'],
  ['one address more', ' except 13', '', 'minor'],
  ['another rate', '9600', '19200', 'major'],
  ['a cable without its screen', '  screened\n  rated', '  rated', 'major'],
  ['a screen that is no longer asked for', '1.5 mm2 screened', '1.5 mm2', 'minor'],
  ['other colours', 'BK, WH', 'WH, BK', 'major'],
  ['a higher voltage that a cable bears', 'rated 300 V', 'rated 500 V', 'minor'],
  ['a lower least voltage', 'minimum 11 VDC', 'minimum 10 VDC', 'minor'],
  ['a branch that is allowed', 'shape chain', 'shape tree', 'minor'],
  ['a deprecation', 'role supply', 'role supply\n  deprecated "old"', 'minor'],
];

function read(text: string, version: string, language = '1.0') {
  const manifest = { name: '@t/l', version, ferrule: { entry: 'index.ferrule', language } };
  const files = memoryFiles({
    'l/package.json': JSON.stringify(manifest),
    'l/index.ferrule': text,
  });
  const reading = readLibrary(files, 'l', ['index.ferrule']);
  if (reading.kind === 'refused') {
    throw new Error(reading.why);
  }
  return reading.library;
}

describe('a change of a library', () => {
  it.each(fixtures)('%s: %s → %s is %s', (_what, from, to, step) => {
    const changed = from === '' ? library + to : library.replace(from, to);
    expect(from === to || changed !== library).toBe(true);
    const reasons = reasonsBetween(read(library, '1.0.0'), read(changed, '1.0.0'));
    expect(leastStep(reasons) ?? 'none').toBe(step);
    if (step !== 'none') {
      expect(reasons[0]!.step).toBe(step);
    }
  });

  it('that asks for a later language is major', () => {
    const before = { ...read(library, '1.0.0'), language: '1.0' };
    expect(leastStep(reasonsBetween(before, { ...before, language: '1.1' }))).toBe('major');
  });

  it('that takes a file away that a use line can name is major', () => {
    const before = { ...read(library, '1.0.0'), files: ['index.ferrule', 'cables.ferrule'] };
    expect(reasonsBetween(before, { ...before, files: ['index.ferrule'] })).toEqual([
      { step: 'major', subject: 'file cables.ferrule', what: 'removed' },
    ]);
  });

  it('is said with what stood there before', () => {
    const after = read(library.replace('terminals A, B', 'terminals B, A'), '1.0.0');
    expect(reasonsBetween(read(library, '1.0.0'), after)).toEqual([
      { step: 'major', subject: 'equipment Panel, port link', what: 'terminals: A, B → B, A' },
    ]);
  });
});

describe('versions', () => {
  it('step as the packages of npm do', () => {
    expect(leastVersion('1.4.2', 'major')).toBe('2.0.0');
    expect(leastVersion('1.4.2', 'minor')).toBe(inc('1.4.2', 'minor'));
    expect(leastVersion('1.4.2', 'patch')).toBe('1.4.3');
    expect(leastVersion('0.4.2', 'major')).toBe('0.5.0');
    expect(leastVersion('0.4.2', 'minor')).toBe('0.4.3');
    expect(leastVersion('four', 'minor')).toBeUndefined();
    expect(claimsEnough('1.4.2', '1.5.0', 'major')).toBe(false);
    expect(claimsEnough('1.4.2', '3.0.0', 'major')).toBe(true);
    expect(claimsEnough('1.4.2', '1.4.2', undefined)).toBe(true);
    expect(claimsEnough('1.4.2', '1.4.2', 'patch')).toBe(false);
    expect(claimsEnough('1.4.2', 'soon', 'patch')).toBeUndefined();
  });
});

describe('ferrule release', () => {
  const command = CommandLine.forTests();
  const write = async (folder: string, version: string, text: string) => {
    await command().write(
      `${folder}/package.json`,
      JSON.stringify({ name: '@t/l', version, ferrule: { entry: 'index.ferrule' } }),
    );
    await command().write(`${folder}/index.ferrule`, text);
  };

  it('fails its check where the package claims less than it changes', async () => {
    await write('old', '1.4.2', library);
    await write('new', '1.5.0', library.replace('10 VA', '12 VA') + added);
    const { code, out } = await command().run('release', 'old', 'new', '--check');
    expect(code).toBe(1);
    expect(out).toBe(
      'major: equipment Panel, inlet supply: power VA: 10 → 12\n' +
        'minor: equipment Extra: added\n' +
        '@t/l 1.4.2: a major step, so 2.0.0 at least.\n' +
        'The package.json claims 1.5.0, which is less than 2.0.0.\n',
    );
    expect((await command().run('release', 'old', 'new')).code).toBe(0);
    await write('new', '2.0.0', library.replace('10 VA', '12 VA') + added);
    const right = await command().run('release', 'old', 'new', '--check', '--format', 'json');
    expect(right.code).toBe(0);
    expect(JSON.parse(right.out)).toMatchObject({
      schemaVersion: 1,
      step: 'major',
      least: '2.0.0',
      enough: true,
    });
  });

  it('says what it cannot compare', async () => {
    await write('old', '1.0.0', library);
    await write('slip', '1.0.0', 'equipment X { rloe sensor }\n');
    expect((await command().run('release', 'old', 'slip')).code).toBe(2);
    expect((await command().run('release', 'old')).error).toContain('two folders');
    expect((await command().run('release', 'old', 'nowhere')).error).toContain('no folder');
  });
});
