/** `ferrule diagnose` as a person runs it: what it prints, and how it ends. */
import { beforeAll, describe, expect, it } from 'vitest';
import { cp } from 'node:fs/promises';
import path from 'node:path';
import { inProject } from '../../scripts/lib/root.mjs';
import { CommandLine } from '../support/command-line.js';

const command = CommandLine.forTests();
const bakery = 'examples/broken/observed-otherwise.ferrule';
const library = 'examples/library/library.ferrule';

beforeAll(async () => {
  await cp(inProject('examples'), path.join(command().folder, 'examples'), { recursive: true });
});

describe('ferrule diagnose', () => {
  it('names the cable that is open, where to go, and the caution', async () => {
    const { code, out } = await command().run('diagnose', bakery);
    expect(code).toBe(1);
    expect(out).toContain('One fault explains everything that was seen.');
    expect(out).toContain('units is open between BU-2.units and BU-3.units');
    expect(out).toContain('where: Shop, Ground floor; Bakehouse, Ground floor');
    expect(out).toContain('prove dead before touching a terminal');
  });

  it('says what to look at next while several faults remain', async () => {
    const { code, out } = await command().run('diagnose', library, '--seen', 'FP-1 finds 6');
    expect(code).toBe(1);
    expect(out).toContain('Next: read which units FP-1 lists');
    expect(out).toContain('where: Entrance hall and desk, Ground floor');
    expect(out).toMatch(/all but IU-G3, IU-G4: groups? \d/u);
  });

  it('tries two faults where no single one explains everything', async () => {
    const { out } = await command().run(
      ...['diagnose', library, '--format', 'json', '--seen'],
      'line-1 measures 121 ohm power-off; GW-1.eth page fails "no answer"',
    );
    const { verdict, groups } = JSON.parse(out) as {
      verdict: string;
      groups: { faults: { kinds: string[] }[] }[];
    };
    expect(verdict).toBe('pair');
    expect(groups[0]!.faults[0]!.kinds.sort()).toEqual(['subnet-wrong', 'terminator-missing']);
  });

  it('ends with 0 where nothing was recorded, and where all is as written', async () => {
    const nothing = await command().run('diagnose', library);
    expect(nothing).toMatchObject({ code: 0, out: expect.stringContaining('Nothing that could') });
    const right = await command().run('diagnose', library, '--seen', 'FP-1 finds 8');
    expect(right).toMatchObject({ code: 0, out: expect.stringContaining('is as written') });
  });

  it('says so where neither one fault nor two explain it', async () => {
    const { code, out } = await command().run('diagnose', library, '--seen', 'FP-1 finds 11');
    expect(code).toBe(1);
    expect(out).toContain('Neither one fault nor two explain everything');
  });

  it('lists what it makes no prediction for', async () => {
    const { out } = await command().run(
      ...['diagnose', library, '--seen', 'F-1 measures 0.5 A; FP-1 finds 6'],
    );
    expect(out).toContain('Not used, because nothing is predicted for them:');
    expect(out).toContain('observed F-1 measures 500 mA');
  });

  it('cannot run on what is no observation, nor without a site', async () => {
    const slip = await command().run('diagnose', library, '--seen', 'FP-1 found six');
    expect(slip.code).toBe(2);
    expect(slip.error).toContain('--seen "FP-1 found six" is no observation');
    expect(slip.error).not.toContain('    at ');
    expect(await command().run('diagnose', 'nowhere.ferrule')).toMatchObject({ code: 2 });
  });

  it('gives the same bytes again', async () => {
    const once = await command().run('diagnose', bakery, '--format', 'json');
    expect(await command().run('diagnose', bakery, '--format', 'json')).toEqual(once);
  });
});
