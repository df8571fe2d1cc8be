import { mkdir, readFile, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { inProject } from './lib/root.mjs';

/**
 * Writes src/packages/generated/starter.ts: the files of the starter library by name, so that one
 * bundle makes a new site without looking for a folder beside it.
 */
export async function generateStarter() {
  const { ferrule } = JSON.parse(await readFile(inProject('library', 'package.json'), 'utf8'));
  const entries = [];
  for (const name of [...ferrule.entry].sort()) {
    const text = await readFile(inProject('library', name), 'utf8');
    entries.push(`  [${JSON.stringify(name)}, ${JSON.stringify(text.replaceAll('\r\n', '\n'))}],`);
  }
  const module = [
    '// Written by `npm run generate` from library/.',
    '',
    '/** The text of each file of the starter library, by its name. */',
    'export const starterFiles: ReadonlyMap<string, string> = new Map<string, string>([',
    ...entries,
    ']);',
    '',
  ].join('\n');
  const folder = inProject('src', 'packages', 'generated');
  await mkdir(folder, { recursive: true });
  await writeFile(path.join(folder, 'starter.ts'), module);
}
