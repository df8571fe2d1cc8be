// Writes src/drawing/svg/font-metrics.ts: the advance widths of the drawings' font.
//
// Usage: node scripts/font-metrics.mjs FOLDER
// FOLDER is an unpacked copy of the npm package `@fontsource/arimo` (SIL Open Font Licence 1.1), for
// instance from `npm pack @fontsource/arimo@5.3.0`. The table is committed, so nobody else needs it.
//
// Arimo is chosen because its widths equal those of the sans-serif fonts that most computers have:
// where Arimo is missing, the next font of the stack sets the same text in the same room.
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { inflateSync } from 'node:zlib';
import { inProject } from './lib/root.mjs';

const subsets = ['latin', 'latin-ext', 'greek', 'cyrillic'];
const weights = [400, 700];
/**
 * Blocks of code points whose widths are kept: Latin, Greek, Cyrillic, punctuation, letterlike, arrows, mathematics.
 * @type {[number, number][]}
 */
const blocks = [
  [0x20, 0x7e],
  [0xa0, 0x24f],
  [0x370, 0x4ff],
  [0x1e00, 0x1eff],
  [0x2010, 0x2044],
  [0x2070, 0x20bf],
  [0x2100, 0x214f],
  [0x2190, 0x21ff],
  [0x2200, 0x22ff],
];

const folder = process.argv[2];
if (!folder) {
  console.error('Usage: node scripts/font-metrics.mjs FOLDER');
  process.exitCode = 2;
} else {
  writeFileSync(inProject('src', 'drawing', 'svg', 'font-metrics.ts'), tableSource(folder));
}

/** @param {string} packageFolder */
function tableSource(packageFolder) {
  const version = JSON.parse(readFileSync(join(packageFolder, 'package.json'), 'utf8')).version;
  const lines = [
    '// Written by scripts/font-metrics.mjs; not edited by hand.',
    `// Advance widths of Arimo (npm package @fontsource/arimo ${version}, SIL Open Font Licence 1.1).`,
    '',
    '/** Units of the font per em: a width divided by this and multiplied by the font size is in px. */',
    'export const UNITS_PER_EM = 2048;',
    '',
    '/** First code point of a run, then the widths of it and its successors; 0 where the font has no glyph. */',
    'export type WidthRun = readonly [firstCodePoint: number, widths: readonly number[]];',
    '',
  ];
  for (const weight of weights) {
    const widths = widthsOf(packageFolder, weight);
    lines.push(`export const WIDTHS_${weight}: readonly WidthRun[] = [`);
    for (const [first, last] of blocks) {
      /** @type {number[]} */
      const run = [];
      for (let codePoint = first; codePoint <= last; codePoint++)
        run.push(widths.get(codePoint) ?? 0);
      while (run.length > 0 && run.at(-1) === 0) run.pop();
      if (run.length === 0) continue;
      lines.push('  // prettier-ignore', `  [${first}, [`, ...wrapped(run), '  ]],');
    }
    lines.push('];', '');
  }
  return lines.join('\n').trimEnd() + '\n';
}

/** @param {number[]} numbers */
function wrapped(numbers) {
  const lines = [];
  for (let start = 0; start < numbers.length; start += 18) {
    lines.push(`    ${numbers.slice(start, start + 18).join(', ')},`);
  }
  return lines;
}

/**
 * @param {string} packageFolder
 * @param {number} weight
 */
function widthsOf(packageFolder, weight) {
  /** @type {Map<number, number>} */
  const widths = new Map();
  for (const subset of subsets) {
    const file = join(packageFolder, 'files', `arimo-${subset}-${weight}-normal.woff`);
    const tables = woffTables(readFileSync(file));
    for (const [codePoint, glyph] of characterMap(table(tables, 'cmap'))) {
      if (!widths.has(codePoint)) widths.set(codePoint, advance(tables, glyph));
    }
  }
  return widths;
}

/**
 * The tables of a WOFF 1.0 file (W3C Recommendation 2012, sections 4 and 5).
 * @param {Buffer} bytes
 */
function woffTables(bytes) {
  /** @type {Map<string, Buffer>} */
  const tables = new Map();
  const count = bytes.readUInt16BE(12);
  for (let index = 0; index < count; index++) {
    const entry = 44 + index * 20;
    const tag = bytes.toString('latin1', entry, entry + 4);
    const offset = bytes.readUInt32BE(entry + 4);
    const packedLength = bytes.readUInt32BE(entry + 8);
    const length = bytes.readUInt32BE(entry + 12);
    const packed = bytes.subarray(offset, offset + packedLength);
    tables.set(tag, packedLength < length ? inflateSync(packed) : Buffer.from(packed));
  }
  return tables;
}

/**
 * Pairs of code point and glyph from the format 4 subtable (OpenType, cmap).
 * @param {Buffer} cmap
 */
function characterMap(cmap) {
  /** @type {[number, number][]} */
  const pairs = [];
  const subtables = cmap.readUInt16BE(2);
  for (let index = 0; index < subtables; index++) {
    const table = cmap.subarray(cmap.readUInt32BE(4 + index * 8 + 4));
    if (table.readUInt16BE(0) !== 4) continue;
    const doubled = table.readUInt16BE(6);
    for (let segment = 0; segment < doubled; segment += 2) {
      const end = table.readUInt16BE(14 + segment);
      const start = table.readUInt16BE(16 + doubled + segment);
      const delta = table.readUInt16BE(16 + 2 * doubled + segment);
      const rangeAt = 16 + 3 * doubled + segment;
      const range = table.readUInt16BE(rangeAt);
      for (let codePoint = start; codePoint <= end && codePoint !== 0xffff; codePoint++) {
        const raw =
          range === 0 ? codePoint : table.readUInt16BE(rangeAt + range + 2 * (codePoint - start));
        if (raw !== 0) pairs.push([codePoint, (raw + delta) & 0xffff]);
      }
    }
    return pairs;
  }
  return pairs;
}

/**
 * @param {Map<string, Buffer>} tables
 * @param {number} glyph
 */
function advance(tables, glyph) {
  const metrics = table(tables, 'hhea').readUInt16BE(34);
  return table(tables, 'hmtx').readUInt16BE(4 * Math.min(glyph, metrics - 1));
}

/**
 * @param {Map<string, Buffer>} tables
 * @param {string} tag
 */
function table(tables, tag) {
  const found = tables.get(tag);
  if (found === undefined) throw new Error(`The font has no table ${tag}.`);
  return found;
}
