/** The change that adds a `use` line to a file. */
import type { TextChange } from '../../language/write.js';
import type { SourceFile } from '../source-file.js';

/** Behind the last `use` line, else before the first declaration. */
export function addUseChange(file: SourceFile, path: string): TextChange {
  const lineEnd = file.text.includes('\r\n') ? '\r\n' : '\n';
  const line = `use "${path.replaceAll('\\', '\\\\').replaceAll('"', '\\"')}"`;
  const last = [...file.text.matchAll(/^use[ \t][^\r\n]*/gmu)].at(-1);
  if (last !== undefined) {
    const at = last.index + last[0].length;
    return { file: file.path, start: at, end: at, text: `${lineEnd}${line}` };
  }
  const first = file.pieces.find((piece) => piece.lowered.declarations.length > 0)?.start ?? 0;
  return { file: file.path, start: first, end: first, text: `${line}${lineEnd}${lineEnd}` };
}
