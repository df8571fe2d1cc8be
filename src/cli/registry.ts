/** Versions of packages from the registry, by the npm of this computer: its settings and rights hold. */
import { execFile } from 'node:child_process';
import { copyFileSync, existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { promisify } from 'node:util';
import { CannotRun } from './cannot-run.js';
import { sharingTexts } from './texts-sharing.js';

/** The versions of a package that the registry has. */
export async function publishedVersions(folder: string, name: string): Promise<readonly string[]> {
  const answer: unknown = JSON.parse(await npm(folder, 'view', name, 'versions', '--json'));
  const versions = Array.isArray(answer) ? answer : [answer];
  return versions.filter((one): one is string => typeof one === 'string');
}

/** Installs a version into a folder of its own for the time of `use`; nothing of it is run. */
export async function withInstalled<Answer>(
  folder: string,
  name: string,
  version: string,
  use: (modules: string) => Answer,
): Promise<Answer> {
  const root = (await npm(folder, 'prefix')).trim();
  const place = mkdtempSync(path.join(os.tmpdir(), 'ferrule-version-'));
  try {
    writeFileSync(path.join(place, 'package.json'), '{ "private": true }\n');
    if (existsSync(path.join(root, '.npmrc'))) {
      copyFileSync(path.join(root, '.npmrc'), path.join(place, '.npmrc'));
    }
    await npm(place, 'install', '--no-save', '--no-package-lock', `${name}@${version}`);
    return use(path.join(place, 'node_modules'));
  } finally {
    rmSync(place, { recursive: true, force: true });
  }
}

async function npm(folder: string, ...args: readonly string[]): Promise<string> {
  const quiet = [
    '--ignore-scripts',
    '--no-audit',
    '--no-fund',
    '--loglevel=error',
    '--fetch-retries=1',
  ];
  try {
    const { stdout } = await promisify(execFile)('npm', [...args, ...quiet], {
      cwd: folder,
      timeout: longestWaitMs,
      maxBuffer: 64 * 1024 * 1024,
      // npm is a script there; names and versions have been checked, so nothing in them is a command.
      shell: process.platform === 'win32',
    });
    return stdout;
  } catch (error) {
    const { code, stderr } = error as { code?: unknown; stderr?: string };
    const why = code === 'ENOENT' ? 'npm is not installed' : firstLine(stderr ?? '');
    throw new CannotRun(sharingTexts.npmFailed(args[0]!, why));
  }
}

const longestWaitMs = 120_000;

function firstLine(text: string): string {
  const lines = text
    .split('\n')
    .map((line) => line.replace(/^npm (?:error|ERR!)\s*/u, '').trim())
    .filter((line) => line !== '' && !line.startsWith('code '));
  return lines[0] ?? 'no reason was given';
}
