import { execFileSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { inProject, root } from '../scripts/lib/root.mjs';
import { RAISED_RULES } from '../src/rules/raised.js';
import { filesBelow } from './support/project-files.js';

const greatestLines = 600;

/** Files of src/rules that are not rules. */
const notRules = ['evaluate.ts', 'index.ts', 'raised.ts', 'rule.ts', 'waivers.ts', 'wording.ts'];

describe('the guides', () => {
  it.each(['DEVELOPERS.md', 'README.md'])('%s names only paths that exist', (guide) => {
    const named = pathsNamedIn(readFileSync(inProject(guide), 'utf8'));
    expect(named.length).toBeGreaterThan(0);
    expect(named.filter((file) => !existsSync(inProject(file)))).toEqual([]);
  });

  it('name commands that package.json has', () => {
    const scripts = Object.keys(
      JSON.parse(readFileSync(inProject('package.json'), 'utf8')).scripts,
    );
    const named = ['DEVELOPERS.md', 'README.md'].flatMap((guide) =>
      [...readFileSync(inProject(guide), 'utf8').matchAll(/npm run ([\w:-]+)/g)].map(
        (match) => match[1] ?? '',
      ),
    );
    expect(named.filter((name) => !scripts.includes(name))).toEqual([]);
  });

  it('give the test command that continuous integration runs', () => {
    const command = /^readonly test_command='(.+)'$/m.exec(
      readFileSync(inProject('.ci/run'), 'utf8'),
    )?.[1];
    expect(command).toBeDefined();
    expect(readFileSync(inProject('README.md'), 'utf8').split('\n')).toContain(command);
  });
});

describe('the sources', () => {
  it(`have no file above ${greatestLines} lines`, () => {
    const long = filesBelow('src')
      .filter((file) => /\.(ts|css|langium)$/.test(file))
      .map((file) => ({ file, lines: readFileSync(inProject(file), 'utf8').split('\n').length }))
      .filter(({ lines }) => lines > greatestLines);
    expect(long).toEqual([]);
  });

  it('hold each rule as a pair of code and page', () => {
    const rules = ruleNames('.ts').filter((name) => !notRules.includes(`${name}.ts`));
    expect(rules.length).toBeGreaterThan(0);
    const raised = RAISED_RULES.map((rule) => rule.name);
    expect(ruleNames('.md')).toEqual([...rules, ...raised].sort());
  });

  it('name each rule by the problem', () => {
    const commanding = /^(no|use|check|invalid)-/;
    expect(ruleNames('.ts').filter((name) => commanding.test(name))).toEqual([]);
  });
});

describe('the committed files', () => {
  const files = execFileSync(
    'git',
    ['ls-files', '-z', '--cached', '--others', '--exclude-standard'],
    {
      cwd: root,
      encoding: 'utf8',
    },
  )
    .split('\0')
    .filter((file) => file !== '' && existsSync(inProject(file)));

  it('hold no path of one machine', () => {
    // Written in two parts, so that this file does not find itself.
    const places = [
      '/wo' + 'rk/',
      '/t' + 'mp/',
      '/ho' + 'me/',
      '/ro' + 'ot/',
      '/Us' + 'ers/',
      'C:' + '\\Users',
    ];
    const found = files
      .filter((file) => !/\.(png|pdf|xlsx|woff2|ttf)$/.test(file))
      .filter((file) => {
        const text = readFileSync(inProject(file), 'utf8');
        return places.some((place) => text.includes(place));
      });
    expect(files.length).toBeGreaterThan(20);
    expect(found).toEqual([]);
  });

  it('hold nothing that is generated', () => {
    expect(
      files.filter((file) => /^(dist|out|node_modules)\/|^src\/.*\/generated\//.test(file)),
    ).toEqual([]);
  });
});

function ruleNames(ending: '.ts' | '.md'): string[] {
  return filesBelow('src/rules')
    .filter((file) => /^src\/rules\/[^/]+$/.test(file) && file.endsWith(ending))
    .map((file) => file.slice('src/rules/'.length, -ending.length));
}

/** Paths in backticks and in links; a folder's or file's name is told from other code by its first part. */
function pathsNamedIn(markdown: string): string[] {
  const top = /^(\.\/)?(src|tests|scripts|examples|syntaxes|docs|\.ci|\.vscode)(\/|$)/;
  const quoted = [...markdown.matchAll(/`([^`\s]+)`/g)].map((match) => match[1] ?? '');
  const linked = [...markdown.matchAll(/\]\(([^)#\s]+)/g)].map((match) => match[1] ?? '');
  return [
    ...quoted.filter((name) => top.test(name) || /^[A-Z]+\.md$/.test(name)),
    ...linked.filter((name) => !/^[a-z]+:/.test(name)),
  ].filter((name) => !/[*<{…]/.test(name));
}
