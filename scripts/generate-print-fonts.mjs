import { mkdir, readFile, writeFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import path from 'node:path';
import { deflateRawSync } from 'node:zlib';
import { inProject } from './lib/root.mjs';

/**
 * Writes src/print/generated/fonts.ts: the font of the printed forms as text, so that the bundled
 * command line holds it and nothing is read at run time.
 *
 * It is Arimo (npm package `@expo-google-fonts/arimo`, SIL Open Font Licence 1.1), whole and not cut
 * into subsets: the same widths as the drawings reckon with, and Latin, Greek and Cyrillic in one file.
 */
export async function generatePrintFonts() {
  const require = createRequire(import.meta.url);
  const folder = path.dirname(require.resolve('@expo-google-fonts/arimo/package.json'));
  const version = JSON.parse(await readFile(path.join(folder, 'package.json'), 'utf8')).version;
  const regular = await readFile(path.join(folder, '400Regular', 'Arimo_400Regular.ttf'));
  const bold = await readFile(path.join(folder, '700Bold', 'Arimo_700Bold.ttf'));
  const module = [
    `// Written by \`npm run generate\` from @expo-google-fonts/arimo ${version} (SIL Open Font Licence 1.1).`,
    '',
    '/** TrueType, deflated (RFC 1951), as base64. */',
    `export const REGULAR = ${JSON.stringify(packed(regular))};`,
    `export const BOLD = ${JSON.stringify(packed(bold))};`,
    '',
    '/** First and last code point of each run of characters that the font has. */',
    `export const COVERED: readonly (readonly [number, number])[] = ${JSON.stringify(covered(regular))};`,
    '',
  ].join('\n');
  await mkdir(inProject('src', 'print', 'generated'), { recursive: true });
  await writeFile(inProject('src', 'print', 'generated', 'fonts.ts'), module);
}

/** @param {Buffer} font */
function packed(font) {
  return deflateRawSync(font, { level: 9 }).toString('base64');
}

/**
 * The code points of the format 4 subtable (OpenType, cmap).
 * @param {Buffer} font
 */
function covered(font) {
  const cmap = font.subarray(tableOffset(font, 'cmap'));
  /** @type {[number, number][]} */
  const runs = [];
  for (let index = 0; index < cmap.readUInt16BE(2); index++) {
    const table = cmap.subarray(cmap.readUInt32BE(4 + index * 8 + 4));
    if (table.readUInt16BE(0) !== 4) continue;
    const doubled = table.readUInt16BE(6);
    for (let segment = 0; segment < doubled; segment += 2) {
      const end = table.readUInt16BE(14 + segment);
      const start = table.readUInt16BE(16 + doubled + segment);
      if (start !== 0xffff) runs.push([start, Math.min(end, 0xfffe)]);
    }
    return runs;
  }
  throw new Error('The font has no map of characters.');
}

/**
 * @param {Buffer} font
 * @param {string} tag
 */
function tableOffset(font, tag) {
  for (let entry = 12; entry < 12 + 16 * font.readUInt16BE(4); entry += 16) {
    if (font.toString('latin1', entry, entry + 4) === tag) return font.readUInt32BE(entry + 8);
  }
  throw new Error(`The font has no table ${tag}.`);
}
