/** A review for a terminal, for a comment on a host, for the summary of a run, and for programs. */
import type { Review } from './review.js';
import { isUnchanged } from './review.js';
import { sectionsOf } from './sections.js';
import { texts } from './texts.js';

/** A comment on the usual hosts takes so many characters; counted in UTF-8 bytes to be on the safe side. */
export const COMMENT_LIMIT = 65_536;
/** The summary of a run takes a mebibyte; we stay below a million bytes. */
export const SUMMARY_LIMIT = 1_000_000;

export function reviewText(review: Review): string {
  if (isUnchanged(review)) {
    return `${texts.unchanged}\n`;
  }
  const sections = sectionsOf(review).map(
    ({ heading, lines }) => `\n${heading}\n${lines.map((line) => `  ${line}\n`).join('')}`,
  );
  return `${texts.summary(review)}\n${sections.join('')}`;
}

/** Markdown of at most so many bytes; what does not fit is counted in its last line. */
export function reviewMarkdown(review: Review, limitBytes: number): string {
  const head = `## ${texts.title}\n\n`;
  if (isUnchanged(review)) {
    return `${head}${texts.unchanged}\n`;
  }
  const room = limitBytes - bytesOf(`\n${texts.leftOut(Number.MAX_SAFE_INTEGER)}\n`);
  let text = `${head}${texts.summary(review)}\n`;
  let size = bytesOf(text);
  let leftOut = 0;
  for (const { heading, lines } of sectionsOf(review)) {
    let pending = `\n### ${heading}\n\n`;
    for (const line of lines) {
      const next = `${pending}- ${escaped(line)}\n`;
      if (leftOut > 0 || size + bytesOf(next) > room) {
        leftOut++;
        continue;
      }
      text += next;
      size += bytesOf(next);
      pending = '';
    }
  }
  return leftOut === 0 ? text : `${text}\n${texts.leftOut(leftOut)}\n`;
}

/** The review as plain data in a fixed order of keys; `undefined` becomes null. */
export function reviewValue(review: Review, schemaVersion: number): object {
  const { renames, changes, effects, findings, material, work, counts } = review;
  return {
    schemaVersion,
    unchanged: isUnchanged(review),
    class: review.class,
    counts: {
      ...counts,
      renames: renames.length,
      newFindings: findings.fresh.length,
      resolvedFindings: findings.resolved.length,
      unchangedFindings: findings.unchanged,
    },
    renames,
    changes: changes.map((one) => ({
      ...one,
      before: one.before ?? null,
      after: one.after ?? null,
    })),
    effects: effects.map((one) => ({
      ...one,
      before: one.before ?? null,
      after: one.after ?? null,
      limit: one.limit ?? null,
      crossing: one.crossing ?? null,
    })),
    newFindings: findings.fresh,
    resolvedFindings: findings.resolved,
    material,
    work,
  };
}

/** Words of a site must not become markup of the host. */
function escaped(line: string): string {
  return line.replace(/[\\`*_{}[\]<>#|~@&]/gu, (sign) => `\\${sign}`).replace(/\s+/gu, ' ');
}

function bytesOf(text: string): number {
  let bytes = 0;
  for (const sign of text) {
    const code = sign.codePointAt(0)!;
    bytes += code < 0x80 ? 1 : code < 0x8_00 ? 2 : code < 0x1_00_00 ? 3 : 4;
  }
  return bytes;
}
