import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { inProject } from '../../scripts/lib/root.mjs';
import { formatText } from '../../src/language/format.js';
import { parsePiece } from '../../src/language/parse.js';
import { splitText } from '../../src/language/split.js';
import { CommandLine } from '../support/command-line.js';
import { filesBelow } from '../support/project-files.js';

interface Manifest {
  icon: string;
  activationEvents: string[];
  contributes: {
    languages: { id: string; extensions: string[]; icon: object }[];
    commands: { command: string; category: string; title: string; icon?: object }[];
    menus: Record<string, { command: string; when?: string }[]>;
    keybindings: { command: string }[];
    problemMatchers: {
      pattern: { regexp: string; file?: number; line?: number }[];
    }[];
    configuration: { properties: Record<string, { markdownDescription: string; scope: string }> };
  };
}

const manifest = JSON.parse(readFileSync(inProject('package.json'), 'utf8')) as Manifest;
const { contributes } = manifest;
const words = JSON.parse(readFileSync(inProject('package.nls.json'), 'utf8')) as Record<
  string,
  string
>;
/** What the editor puts in the place of a key. */
const said = (text: string) => text.replace(/^%(.+)%$/u, (_, key: string) => words[key] ?? '');
const sources = filesBelow('src/extension')
  .filter((file) => file.endsWith('.ts'))
  .map((file) => readFileSync(inProject(file), 'utf8'))
  .join('\n');
const found = (pattern: RegExp) => [...sources.matchAll(pattern)].map((match) => match[1] ?? '');

describe('the commands', () => {
  const declared = contributes.commands.map(({ command }) => command);

  it('that are declared are those that are registered', () => {
    expect(declared.length).toBeGreaterThan(3);
    expect(found(/registerCommand\(\s*'([^']+)'/g).sort()).toEqual([...declared].sort());
  });

  it('stand in one category', () => {
    expect(new Set(contributes.commands.map(({ category }) => category))).toEqual(
      new Set(['Ferrule']),
    );
  });

  it('of menus and keys exist', () => {
    const used = [...Object.values(contributes.menus).flat(), ...contributes.keybindings];
    expect(used.length).toBeGreaterThan(0);
    expect(used.filter(({ command }) => !declared.includes(command))).toEqual([]);
  });
});

describe('the settings', () => {
  const declared = Object.keys(contributes.configuration.properties);

  it('that the extension reads are declared', () => {
    const read = found(/getConfiguration\('ferrule'(?:, \w+)?\)\s*\.get(?:<\w+>)?\('([^']+)'/g);
    expect(read.length).toBeGreaterThan(1);
    expect(
      read.map((name) => `ferrule.${name}`).filter((name) => !declared.includes(name)),
    ).toEqual([]);
  });

  it('have a scope and a description', () => {
    for (const setting of Object.values(contributes.configuration.properties)) {
      expect(setting.scope).toBeTruthy();
      expect(said(setting.markdownDescription).length).toBeGreaterThan(20);
    }
  });
});

describe('the manifest', () => {
  it('wakes the extension for its own files and drawings only', () => {
    expect(manifest.activationEvents).toEqual([
      'onLanguage:ferrule',
      'onWebviewPanel:ferrule.drawing',
      // A site file at the top of the folder; deeper ones wait until they are opened.
      'workspaceContains:*.ferrule',
    ]);
    expect(sources).toContain("'ferrule.drawing'");
  });

  it('names files that exist', () => {
    const named = [
      ...JSON.stringify(manifest).matchAll(
        /"(\.?\/?(?:icons|syntaxes|snippets|walkthrough)\/[^"*]+)"/g,
      ),
    ].map((match) => match[1] ?? '');
    expect(named.length).toBeGreaterThanOrEqual(8);
    expect(named.filter((file) => !existsSync(inProject(file)))).toEqual([]);
  });
});

describe('the words of the manifest', () => {
  const keys = [...JSON.stringify(manifest).matchAll(/"%([^%"]+)%"/g)].map((match) => match[1]!);

  it('stand in package.nls.json, and nothing else stands there', () => {
    expect(keys.length).toBeGreaterThan(15);
    expect([...new Set(keys)].sort()).toEqual(Object.keys(words).sort());
    expect(Object.values(words).filter((text) => text.trim() === '')).toEqual([]);
  });

  it('name commands that exist', () => {
    const linked = Object.values(words).flatMap((text) =>
      [...text.matchAll(/\(command:([^)]+)\)/g)].map((match) => match[1]!),
    );
    expect(linked.length).toBeGreaterThan(2);
    const declared = contributes.commands.map(({ command }) => command);
    expect(linked.filter((command) => !declared.includes(command))).toEqual([]);
  });
});

describe('the snippets', () => {
  const snippets = JSON.parse(readFileSync(inProject('snippets/ferrule.json'), 'utf8')) as Record<
    string,
    { prefix: string; body: string[] }
  >;

  it.each(Object.entries(snippets))('"%s" is right as it is inserted', (_, { body }) => {
    const text = body
      .join('\n')
      .replaceAll(/\$CURRENT_YEAR-\$CURRENT_MONTH-\$CURRENT_DATE/g, '2027-01-31')
      .replaceAll(/\$\{\d+\|([^,}]+)[^}]*\}/g, '$1')
      .replaceAll(/\$\{\d+:([^}]*)\}/g, '$1');
    expect(text).not.toContain('$');
    const pieces = splitText(`${text}\n`);
    expect(pieces.flatMap((piece) => parsePiece(piece.text).problems)).toEqual([]);
    const formatted = formatText(`${text}\n`);
    expect(formatted.kind === 'formatted' && formatted.text).toBe(`${text}\n`);
  });
});

describe('the problem matcher', () => {
  const command = CommandLine.forTests();
  const [matcher] = contributes.problemMatchers;

  it('reads what a check prints', async () => {
    await command().copyExamples('broken', 'equipment');
    const printed = await command().run('check', 'broken');
    const { findings } = JSON.parse(
      (await command().run('check', 'broken', '--format', 'json')).out,
    ) as { findings: { file: string; line: number }[] };
    const [head, message] = matcher!.pattern;
    const lines = printed.out.split('\n');
    const read = lines.flatMap((line, index) => {
      const match = new RegExp(head!.regexp, 'u').exec(line);
      const what = new RegExp(message!.regexp, 'u').exec(lines[index + 1] ?? '');
      return match === null || what === null
        ? []
        : [{ file: match[head!.file!]!, line: Number(match[head!.line!]) }];
    });
    expect(findings.length).toBeGreaterThan(10);
    expect(read).toEqual(findings.map(({ file, line }) => ({ file, line })));
  });
});
