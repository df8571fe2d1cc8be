import { mkdir, readFile, readdir, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { inProject } from './lib/root.mjs';

/**
 * Writes src/rules/generated/pages.ts: the text of each src/rules/<name>.md by rule name, so that
 * the bundles and the tests import the pages the same way and nothing reads them at run time.
 */
export async function generateRulePages() {
  const folder = inProject('src', 'rules');
  const names = (await readdir(folder).catch(() => []))
    .filter((name) => name.endsWith('.md'))
    .map((name) => name.slice(0, -'.md'.length))
    .sort();
  const entries = [];
  for (const name of names) {
    const text = await readFile(path.join(folder, `${name}.md`), 'utf8');
    entries.push(`  [${JSON.stringify(name)}, ${JSON.stringify(text.replaceAll('\r\n', '\n'))}],`);
  }
  const module = [
    '// Written by `npm run generate` from src/rules/*.md.',
    '',
    '/** The page of each rule, Markdown, by rule name. */',
    'export const rulePages: ReadonlyMap<string, string> = new Map<string, string>([',
    ...entries,
    ']);',
    '',
  ].join('\n');
  await mkdir(path.join(folder, 'generated'), { recursive: true });
  await writeFile(path.join(folder, 'generated', 'pages.ts'), module);
}
