import { spawnSync } from 'node:child_process';
import { existsSync, readFileSync, readdirSync } from 'node:fs';
import path from 'node:path';
import ts from 'typescript';
import { describe, expect, it } from 'vitest';
import { inProject } from '../../scripts/lib/root.mjs';
import { CommandLine } from '../support/command-line.js';

const command = CommandLine.forTests();
const version = JSON.parse(readFileSync(inProject('package.json'), 'utf8')).version;

describe('ferrule', () => {
  it('tells its version', async () => {
    expect(await command().run('--version')).toEqual({ code: 0, out: `${version}\n`, error: '' });
  });

  it('lists every command, with exit codes and cautions', async () => {
    const { code, out, error } = await command().run('--help');
    expect({ code, error }).toEqual({ code: 0, error: '' });
    for (const name of commandNames) {
      expect(out).toMatch(new RegExp(`^  ${name} `, 'mu'));
    }
    expect(out).toContain('Exit codes: 0');
    expect(out).toContain('prove dead');
    expect(await command().run('help')).toEqual({ code, out, error });
  });

  it('shows the same list where no command is named, and counts that as not run', async () => {
    const { out } = await command().run('--help');
    expect(await command().run()).toEqual({ code: 2, out: '', error: out });
  });

  it.each(['check', 'facts', 'draw', 'pack', 'explain', 'format'])(
    'helps with %s',
    async (name) => {
      const { code, out, error } = await command().run(name, '--help');
      expect({ code, error }).toEqual({ code: 0, error: '' });
      expect(out).toContain(`ferrule ${name} `);
      expect(out).toContain('--help');
      expect(await command().run('help', name)).toEqual({ code, out, error });
      expect(await command().run(name, '-h')).toEqual({ code, out, error });
    },
  );

  it('corrects a mistyped command', async () => {
    expect(await command().run('chekc', 'x')).toEqual({
      code: 2,
      out: '',
      error:
        'ferrule: There is no command "chekc". Did you mean check? `ferrule --help` lists them.\n',
    });
    expect((await command().run('help', 'fly')).error).toContain('no command "fly"');
  });
});

describe('the output of ferrule', () => {
  const inShell = (line: string) =>
    spawnSync('sh', ['-c', line], {
      cwd: command().folder,
      encoding: 'utf8',
      env: { ...process.env, NODE: process.execPath, FERRULE: command().program },
    });

  it('may be read in part', async () => {
    await command().copyExamples('library', 'equipment');
    const { stdout, stderr } = inShell(
      '"$NODE" "$FERRULE" facts library --format json | head -n 1',
    );
    expect({ stdout, stderr }).toEqual({ stdout: '{\n', stderr: '' });
  });

  // A device that is always full, where the system has one.
  if (existsSync('/dev/full')) {
    it('is not taken for whole when the disk is full', () => {
      const { status, stderr } = inShell('"$NODE" "$FERRULE" --help > /dev/full');
      expect({ status, stderr }).toEqual({
        status: 2,
        stderr: 'ferrule: The output cannot be written: the disk is full.\n',
      });
    });
  }
});

describe('the sources of the command line', () => {
  it('load the language only when a command needs it', () => {
    const loaded = staticImportsOf('src/cli/main.ts');
    expect(loaded.size).toBeGreaterThan(5);
    expect(
      [...loaded].filter((file) => /^src\/(language|workbench\/workbench)/u.test(file)),
    ).toEqual([]);
    expect(
      [...loaded].filter((file) => !file.startsWith('src/') && !file.startsWith('node:')),
    ).toEqual([]);
  });

  it('load it to check, so that the test above can see it', () => {
    expect([...staticImportsOf('src/cli/check.ts')]).toContain('src/language/parse.ts');
  });
});

const commandNames = readdirSync(inProject('src', 'cli'))
  .filter((name) => /export const run\b/u.test(readFileSync(inProject('src', 'cli', name), 'utf8')))
  .map((name) => name.replace('.ts', ''));

/** Every module that a file brings in without asking for it later: paths of ours, names of libraries. */
function staticImportsOf(file: string, seen = new Set<string>()): ReadonlySet<string> {
  if (seen.has(file)) {
    return seen;
  }
  seen.add(file);
  const source = ts.createSourceFile(
    file,
    readFileSync(inProject(file), 'utf8'),
    ts.ScriptTarget.ES2022,
  );
  for (const statement of source.statements) {
    const isImport = ts.isImportDeclaration(statement) || ts.isExportDeclaration(statement);
    if (!isImport || isOfTypes(statement) || statement.moduleSpecifier === undefined) {
      continue;
    }
    const specifier = (statement.moduleSpecifier as ts.StringLiteral).text;
    if (specifier.startsWith('.')) {
      const target = path.posix.join(path.posix.dirname(file), specifier).replace(/\.js$/u, '.ts');
      staticImportsOf(target, seen);
    } else {
      seen.add(specifier);
    }
  }
  return seen;
}

function isOfTypes(statement: ts.ImportDeclaration | ts.ExportDeclaration): boolean {
  return ts.isExportDeclaration(statement)
    ? statement.isTypeOnly
    : statement.importClause?.phaseModifier === ts.SyntaxKind.TypeKeyword;
}
