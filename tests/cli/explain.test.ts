import { describe, expect, it } from 'vitest';
import { CommandLine, smallSite } from '../support/command-line.js';

const command = CommandLine.forTests();

describe('ferrule explain', () => {
  it("shows a rule's page", async () => {
    const { code, out, error } = await command().run('explain', 'subnet-overlap');
    expect({ code, error }).toEqual({ code: 0, error: '' });
    expect(out).toMatch(/^subnet-overlap\n\n/u);
    expect(out).toContain('\nHow to fix\n');
    expect(out).not.toContain('```');
  });

  it('corrects a mistyped rule', async () => {
    expect(await command().run('explain', 'subnet-overlaps')).toMatchObject({
      code: 2,
      out: '',
      error: expect.stringContaining('Did you mean subnet-overlap?'),
    });
    expect((await command().run('explain', 'quite-something-else')).error).toContain(
      'There is no rule "quite-something-else"',
    );
  });

  it('shows how a value came about', async () => {
    await command().write('site/site.ferrule', smallSite);
    const { code, out } = await command().run('explain', 'line-1.total-length', 'site');
    expect(code).toBe(0);
    expect(out).toMatch(/^line-1\.total-length = 40 m {2}\(limit 100 m, margin 60 %\)\n/u);
    expect(out).toContain('M-1.line to N-1.line  40 m  stated');
    expect(out).toContain('Formula');
    expect(out).toContain('Source');
    expect(await command().runIn('site', 'explain', 'line-1.total-length')).toMatchObject({
      code: 0,
      out,
    });
  });

  it('shows what a failure takes away, which no list of values holds', async () => {
    await command().write('site/site.ferrule', smallSite);
    const { code, out } = await command().run('explain', 'N-1.line.impact', 'site');
    expect(code).toBe(0);
    expect(out).toContain('N-1.line.impact = ');
    expect(out).toContain('one failure at a time');
    expect((await command().run('facts', 'site')).out).not.toContain('impact');
  });

  it('names the values of a subject, and those that may have been meant', async () => {
    await command().write('site/site.ferrule', smallSite);
    const wrong = await command().run('explain', 'line-1.total-lenght', 'site');
    expect(wrong).toMatchObject({ code: 2, out: '' });
    expect(wrong.error).toContain('Did you mean line-1.total-length');
  });

  it('says what is missing or too much', async () => {
    expect((await command().run('explain')).error).toContain('A name is missing');
    expect((await command().run('explain', 'a', 'b', 'c')).error).toContain('"c" is one argument');
    await command().write('none/parts.ferrule', 'cable A {\n}\n');
    expect((await command().run('explain', 'a.b', 'none')).error).toContain('No file in "none"');
    await command().write('two/a.ferrule', 'site A "A"\n');
    await command().write('two/b.ferrule', 'site B "B"\n');
    expect((await command().run('explain', 'a.b', 'two')).error).toContain(
      'Name one: two/a.ferrule, two/b.ferrule',
    );
  });
});

describe('ferrule facts', () => {
  it('lists every value, as text and as JSON', async () => {
    await command().write('site/site.ferrule', smallSite);
    const text = await command().run('facts', 'site');
    expect(text).toMatchObject({ code: 0, error: '' });
    expect(text.out).toMatch(/^line-1\n(.*\n)* {2}total-length +40 m +limit 100 m, margin 60 %\n/u);
    const json = await command().run('facts', 'site/site.ferrule', '--format', 'json');
    const { schemaVersion, facts, ...others } = JSON.parse(json.out);
    expect({ schemaVersion, others }).toEqual({ schemaVersion: 1, others: {} });
    expect(facts).toContainEqual({
      subject: 'line-1',
      fact: 'total-length',
      value: 40,
      unit: 'm',
      limit: 100,
      margin: 0.6,
      basis: 'computed',
      source: expect.any(String),
      terms: [{ name: 'M-1.line to N-1.line', value: 40, unit: 'm', basis: 'stated' }],
    });
    expect(facts).toContainEqual(
      expect.objectContaining({ subject: 'N-1', fact: 'address', value: 2, basis: 'stated' }),
    );
    const bases = ['stated', 'estimated', 'assumed', 'computed', 'measured', 'unknown'];
    for (const fact of facts) {
      expect(bases).toContain(fact.basis);
      expect(Array.isArray(fact.terms)).toBe(true);
      expect(
        fact.value === null ||
          ['number', 'string'].includes(typeof fact.value) ||
          Array.isArray(fact.value),
      ).toBe(true);
    }
  });

  it('still computes what it can of a half-typed site', async () => {
    await command().write('half/site.ferrule', `${smallSite}\nbus field-2 : Line {\n  land\n`);
    const { code, out } = await command().run('facts', 'half');
    expect(code).toBe(0);
    expect(out).toMatch(/total-length +40 m/u);
  });

  it('is for one site', async () => {
    await command().write('site/site.ferrule', smallSite);
    expect(await command().run('facts', 'site', 'site')).toMatchObject({ code: 2, out: '' });
    expect(await command().run('facts')).toMatchObject({ code: 2, out: '' });
  });
});
