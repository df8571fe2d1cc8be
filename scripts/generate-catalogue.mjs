// Writes RULES.md from the rules and their pages: `npm run catalogue`.
import { mkdtemp, readFile, readdir, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { build } from 'esbuild';
import { catalogueText } from './lib/catalogue.mjs';
import { inProject } from './lib/root.mjs';

const folder = inProject('src', 'rules');
const pages = new Map();
for (const file of await readdir(folder)) {
  if (file.endsWith('.md')) {
    const text = await readFile(path.join(folder, file), 'utf8');
    pages.set(file.slice(0, -'.md'.length), text.replaceAll('\r\n', '\n'));
  }
}

// The rules are TypeScript, so they are bundled before they can be asked for their names.
const scratch = await mkdtemp(path.join(tmpdir(), 'ferrule-catalogue-'));
try {
  const bundle = path.join(scratch, 'rules.mjs');
  await build({
    stdin: {
      contents: `export { RULES } from './index.ts'; export { RAISED_RULES } from './raised.ts';`,
      resolveDir: folder,
      loader: 'ts',
    },
    bundle: true,
    format: 'esm',
    outfile: bundle,
    logLevel: 'warning',
  });
  const { RULES, RAISED_RULES } = await import(pathToFileURL(bundle).href);
  await writeFile(inProject('RULES.md'), catalogueText([...RULES, ...RAISED_RULES], pages));
} finally {
  await rm(scratch, { recursive: true, force: true });
}
