import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { inProject } from '../../scripts/lib/root.mjs';
import { filesBelow } from '../support/project-files.js';

interface Manifest {
  icon: string;
  activationEvents: string[];
  contributes: {
    languages: { id: string; extensions: string[]; icon: object }[];
    commands: { command: string; category: string; title: string; icon?: object }[];
    menus: Record<string, { command: string; when?: string }[]>;
    keybindings: { command: string }[];
    configuration: { properties: Record<string, { markdownDescription: string; scope: string }> };
  };
}

const manifest = JSON.parse(readFileSync(inProject('package.json'), 'utf8')) as Manifest;
const { contributes } = manifest;
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
    const read = found(/getConfiguration\('ferrule'\)\s*\.get\('([^']+)'/g);
    expect(read.length).toBeGreaterThan(0);
    expect(
      read.map((name) => `ferrule.${name}`).filter((name) => !declared.includes(name)),
    ).toEqual([]);
  });

  it('have a scope and a description', () => {
    for (const setting of Object.values(contributes.configuration.properties)) {
      expect(setting.scope).toBeTruthy();
      expect(setting.markdownDescription.length).toBeGreaterThan(20);
    }
  });
});

describe('the manifest', () => {
  it('wakes the extension for its own files and drawings only', () => {
    expect(manifest.activationEvents).toEqual([
      'onLanguage:ferrule',
      'onWebviewPanel:ferrule.drawing',
    ]);
    expect(sources).toContain("'ferrule.drawing'");
  });

  it('names files that exist', () => {
    const named = [
      ...JSON.stringify(manifest).matchAll(/"(\.?\/?(?:icons|syntaxes)\/[^"*]+)"/g),
    ].map((match) => match[1] ?? '');
    expect(named.length).toBeGreaterThanOrEqual(8);
    expect(named.filter((file) => !existsSync(inProject(file)))).toEqual([]);
  });
});
