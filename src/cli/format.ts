/** `ferrule format`: files in their canonical form. */
import path from 'node:path';
import { readText } from '../disk/node-files.js';
import { formatText } from '../language/format.js';
import { CannotRun } from './cannot-run.js';
import type { Run } from './command.js';
import { filesAt, pathsIn } from './places.js';
import { texts } from './texts.js';
import { writeFileWhole } from './write.js';

export const run: Run = (host, args) => {
  const files = filesAt(host, pathsIn(args, texts.format));
  let differing = 0;
  const refused: string[] = [];
  for (const file of files) {
    const target = path.resolve(host.folder, file);
    const content = readText(target);
    if (content.kind !== 'text') {
      refused.push(
        texts.unreadable(file, content.kind === 'unreadable' ? content.why : content.kind),
      );
      continue;
    }
    const result = formatText(content.text);
    if (result.kind === 'refused') {
      const place = `${file}:${lineAndColumn(content.text, result.offset)}`;
      refused.push(texts.notFormatted(place, result.why));
    } else if (result.text !== content.text) {
      differing += 1;
      if (args.flags.has('check')) {
        host.print(texts.wouldChange(file));
      } else {
        writeFileWhole(target, file, result.text);
        host.print(texts.formatted(file));
      }
    }
  }
  if (refused.length > 0) {
    throw new CannotRun(refused.join('\n'));
  }
  if (differing === 0) {
    host.print(texts.allFormatted(files.length));
  }
  return args.flags.has('check') && differing > 0 ? 1 : 0;
};

function lineAndColumn(text: string, offset: number): string {
  const before = text.slice(0, offset).split('\n');
  return `${before.length}:${before[before.length - 1]!.length + 1}`;
}
