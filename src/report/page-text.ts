/** A manual page (Markdown) as text for a terminal. */
import { neutralised } from './neutral.js';
import type { Style } from './style.js';

/**
 * Headings stand out, code blocks are indented, marks for emphasis and code go; the words and their
 * order stay. Paragraphs are broken at 80 columns.
 */
export function pageText(markdown: string, style: Style): string {
  const lines: string[] = [];
  let paragraph: string[] = [];
  let inCode = false;
  const endParagraph = () => {
    if (paragraph.length > 0) {
      lines.push(...wrapped(inline(paragraph.join(' '))));
      paragraph = [];
    }
  };
  for (const raw of markdown.split(/\r?\n/u)) {
    const line = neutralised(raw);
    if (line.startsWith('```')) {
      endParagraph();
      inCode = !inCode;
    } else if (inCode) {
      lines.push(line === '' ? '' : `    ${line}`);
    } else if (/^#+ /u.test(line)) {
      endParagraph();
      lines.push(style.strong(inline(line.replace(/^#+ /u, ''))));
    } else if (line.trim() === '') {
      endParagraph();
      lines.push('');
    } else {
      if (/^\s*([-*]|\d+\.) /u.test(line)) {
        endParagraph();
      }
      paragraph.push(paragraph.length === 0 ? line.trimEnd() : line.trim());
    }
  }
  endParagraph();
  const text = lines.join('\n').replace(/\n{3,}/gu, '\n\n');
  return `${text.trim()}\n`;
}

const widest = 80;

function inline(text: string): string {
  return text
    .replace(/\*\*(.+?)\*\*/gu, '$1')
    .replace(/`([^`]*)`/gu, '$1')
    .replace(/\[([^\]]+)\]\(([^)]+)\)/gu, '$1 ($2)');
}

/** Breaks between words; later lines of a list item stand under its text. */
function wrapped(text: string): string[] {
  const indent = ' '.repeat(/^\s*(?:[-*]|\d+\.) /u.exec(text)?.[0].length ?? 0);
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(/ (?=\S)/u)) {
    if (line !== '' && line.length + 1 + word.length > widest) {
      lines.push(line);
      line = indent + word;
    } else {
      line = line === '' ? word : `${line} ${word}`;
    }
  }
  return line === '' ? lines : [...lines, line];
}
