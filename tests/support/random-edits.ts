/** Random edits of a folder of files, as people make them: typing, pasting, moving, breaking, mending. */
import { splitText } from '../../src/language/split.js';
import type { Random } from './random.js';

/** What an edit does to the files: a text in an editor, a closed editor, or a stored file. */
export type FileEdit =
  | { readonly kind: 'text'; readonly path: string; readonly text: string }
  | { readonly kind: 'close'; readonly path: string }
  | { readonly kind: 'store'; readonly path: string; readonly text: string | undefined };

/** Files as an editor sees them: stored ones, and texts that are open and count instead. */
export class EditedFolder {
  readonly overlays = new Map<string, string>();
  private readonly history: { readonly path: string; readonly text: string }[] = [];
  /** Letters that are still to be typed, one an edit. */
  private typing: { readonly path: string; readonly at: number; readonly rest: string } | undefined;

  constructor(
    readonly stored: Record<string, string>,
    private readonly random: Random,
  ) {}

  /** The text of every file that can be read. */
  texts(): Record<string, string> {
    return { ...this.stored, ...Object.fromEntries(this.overlays) };
  }

  /** The next edits, already made here. */
  next(): readonly FileEdit[] {
    const edits = this.typing === undefined ? this.drawn() : this.typed(this.typing);
    for (const edit of edits) {
      this.make(edit);
    }
    return edits;
  }

  private make(edit: FileEdit): void {
    const before = this.texts()[edit.path];
    if (before !== undefined) {
      this.history.push({ path: edit.path, text: before });
      this.history.splice(0, this.history.length - 12);
    }
    if (edit.kind === 'text') {
      this.overlays.set(edit.path, edit.text);
    } else if (edit.kind === 'close') {
      this.overlays.delete(edit.path);
    } else if (edit.text === undefined) {
      delete this.stored[edit.path];
    } else {
      this.stored[edit.path] = edit.text;
    }
  }

  private typed(typing: NonNullable<typeof this.typing>): readonly FileEdit[] {
    const text = this.texts()[typing.path] ?? '';
    const at = Math.min(typing.at, text.length);
    const rest = typing.rest.slice(1);
    this.typing = rest === '' ? undefined : { path: typing.path, at: at + 1, rest };
    return [changed(typing.path, text, at, at, typing.rest[0]!)];
  }

  private drawn(): readonly FileEdit[] {
    const { random } = this;
    const texts = this.texts();
    const paths = Object.keys(texts).sort();
    const path = random.pick(paths);
    const text = texts[path]!;
    const weighted: readonly (readonly [number, () => readonly FileEdit[]])[] = [
      [10, () => this.letter(path, text)],
      [14, () => this.word(path, text)],
      [8, () => this.number(path, text)],
      [8, () => this.line(path, text)],
      [12, () => this.piece(path, text, texts)],
      [6, () => this.rename(path, text, texts)],
      [6, () => this.startTyping(path, text)],
      [14, () => this.undo()],
      [4, () => this.use(path, text, paths)],
      [3, () => this.mark(path, text)],
      [2, () => [{ kind: 'close', path }]],
      [2, () => this.storedChange(path)],
    ];
    let left = random.between(
      0,
      weighted.reduce((sum, [weight]) => sum + weight, 0),
    );
    for (const [weight, draw] of weighted) {
      left -= weight;
      if (left < 0) {
        return draw();
      }
    }
    return [];
  }

  private letter(path: string, text: string): readonly FileEdit[] {
    const at = this.random.integer(0, text.length);
    const inserted = this.random.pick([
      '',
      '',
      'x',
      '1',
      '-',
      '.',
      ' ',
      '\n',
      '{',
      '}',
      '"',
      '/',
      'é',
    ]);
    const removed = inserted === '' ? this.random.integer(1, 3) : this.random.integer(0, 1);
    return [changed(path, text, at, Math.min(text.length, at + removed), inserted)];
  }

  /** One word is replaced by another of the same file. */
  private word(path: string, text: string): readonly FileEdit[] {
    const words = [...text.matchAll(/[\p{L}\d]+(?:-[\p{L}\d]+)*/gu)];
    if (words.length === 0) {
      return [];
    }
    const one = this.random.pick(words);
    const other = this.random.pick(words);
    return [changed(path, text, one.index, one.index + one[0].length, other[0])];
  }

  private number(path: string, text: string): readonly FileEdit[] {
    const numbers = [...text.matchAll(/\d+(?:\.\d+)?/gu)];
    if (numbers.length === 0) {
      return [];
    }
    const one = this.random.pick(numbers);
    const other = this.random.pick([
      String(this.random.integer(0, 70)),
      String(this.random.integer(1, 900)),
      String(this.random.integer(1, 99) / 10),
    ]);
    return [changed(path, text, one.index, one.index + one[0].length, other)];
  }

  /** A line is left out, doubled, or swapped with the next. */
  private line(path: string, text: string): readonly FileEdit[] {
    const lines = text.split('\n');
    const index = this.random.integer(0, lines.length - 1);
    const how = this.random.pick(['drop', 'double', 'swap', 'comment', 'doc'] as const);
    if (how === 'drop') {
      lines.splice(index, 1);
    } else if (how === 'double') {
      lines.splice(index, 0, lines[index]!);
    } else if (how === 'comment') {
      lines.splice(index, 0, '// a remark');
    } else if (how === 'doc') {
      lines.splice(index, 0, '/// what it is for');
    } else if (index + 1 < lines.length) {
      lines.splice(index, 2, lines[index + 1]!, lines[index]!);
    }
    return [{ kind: 'text', path, text: lines.join('\n') }];
  }

  /** A declaration is left out, pasted, moved here or into another file, or swapped with another. */
  private piece(
    path: string,
    text: string,
    texts: Readonly<Record<string, string>>,
  ): readonly FileEdit[] {
    const pieces = splitText(text).map((piece) => piece.text);
    const index = this.random.integer(0, pieces.length - 1);
    const how = this.random.pick([
      'drop',
      'paste',
      'move',
      'swap',
      'elsewhere',
      'reverse',
    ] as const);
    const [taken] = how === 'paste' ? [pieces[index]!] : pieces.splice(index, 1);
    const place = this.random.integer(0, pieces.length);
    const withBreak = taken!.endsWith('\n') ? taken! : `${taken!}\n`;
    if (how === 'paste' || how === 'move') {
      pieces.splice(place, 0, withBreak);
    } else if (how === 'swap') {
      const other = pieces[place];
      pieces.splice(index, 0, other ?? '');
      pieces[place] = withBreak;
    } else if (how === 'reverse') {
      pieces.splice(index, 0, withBreak);
      const from = Math.max(0, index - 3);
      const some = pieces.slice(from, index + 3).reverse();
      pieces.splice(from, some.length, ...some);
    } else if (how === 'elsewhere') {
      const target = this.random.pick(Object.keys(texts).sort());
      if (target !== path) {
        const there = splitText(texts[target]!).map((piece) => piece.text);
        there.splice(this.random.integer(0, there.length), 0, withBreak);
        return [
          { kind: 'text', path, text: pieces.join('') },
          { kind: 'text', path: target, text: there.join('') },
        ];
      }
    }
    return [{ kind: 'text', path, text: pieces.join('') }];
  }

  /** A declared name is changed: where it is declared, or wherever the file has it. */
  private rename(
    path: string,
    text: string,
    texts: Readonly<Record<string, string>>,
  ): readonly FileEdit[] {
    const declared = [...text.matchAll(/^[a-z]+ ([\p{L}][\p{L}\d_-]*)/gmu)];
    if (declared.length === 0) {
      return [];
    }
    const one = this.random.pick(declared);
    const name = one[1]!;
    const newName = this.random.pick([
      `${name}x`,
      name.slice(0, -1) || 'n',
      this.random.pick(declared)[1]!,
    ]);
    if (this.random.integer(0, 1) === 0) {
      const at = one.index + one[0].length - name.length;
      return [changed(path, text, at, at + name.length, newName)];
    }
    const all = new RegExp(`(?<![\\p{L}\\d-])${name}(?![\\p{L}\\d-])`, 'gu');
    return Object.keys(texts)
      .sort()
      .filter((file) => texts[file]!.search(all) >= 0)
      .map((file) => ({ kind: 'text', path: file, text: texts[file]!.replace(all, newName) }));
  }

  private startTyping(path: string, text: string): readonly FileEdit[] {
    const lines = text.split('\n');
    const line = this.random.integer(0, lines.length - 1);
    const at = lines.slice(0, line).join('\n').length + (line === 0 ? 0 : 1);
    const declared = [...text.matchAll(/^[a-z]+ ([\p{L}][\p{L}\d_-]*)/gmu)];
    const name = declared.length === 0 ? 'N-1' : this.random.pick(declared)[1]!;
    const rest = this.random.pick([
      `device ${name}x : ${name}\n`,
      `bus b-1 : ${name} {\n  land ${name}.port 3 m\n}\n`,
      `  address 7\n`,
      `  land ${name}.field 5 m\n`,
      `// ${name}\n`,
    ]);
    return this.typed({ path, at, rest });
  }

  private undo(): readonly FileEdit[] {
    if (this.history.length === 0) {
      return [];
    }
    const back = this.random.pick(this.history);
    return [{ kind: 'text', path: back.path, text: back.text }];
  }

  /** A `use` line comes or goes; it may name a file that is missing, or close a circle. */
  private use(path: string, text: string, paths: readonly string[]): readonly FileEdit[] {
    const lines = text.split('\n');
    const present = lines.flatMap((line, index) => (line.startsWith('use ') ? [index] : []));
    if (present.length > 0 && this.random.integer(0, 1) === 0) {
      lines.splice(this.random.pick(present), 1);
    } else {
      const target = this.random.pick([...paths, 'nowhere.ferrule']);
      lines.splice(this.random.pick([0, present.length]), 0, `use "${relative(path, target)}"`);
    }
    return [{ kind: 'text', path, text: lines.join('\n') }];
  }

  /** A brace or quote comes or goes. */
  private mark(path: string, text: string): readonly FileEdit[] {
    const marks = [...text.matchAll(/[{}":]/gu)];
    if (marks.length === 0) {
      return [];
    }
    const { index } = this.random.pick(marks);
    return [changed(path, text, index, index + 1, this.random.pick(['', '}', '"']))];
  }

  /** A stored file is written or deleted by somebody else. */
  private storedChange(path: string): readonly FileEdit[] {
    const now = this.stored[path];
    const back = this.history.find((one) => one.path === path);
    if (now !== undefined && back === undefined) {
      return [{ kind: 'store', path, text: `${now}\n// changed outside\n` }];
    }
    return [{ kind: 'store', path, text: back?.text }];
  }
}

function changed(path: string, text: string, from: number, to: number, by: string): FileEdit {
  return { kind: 'text', path, text: text.slice(0, from) + by + text.slice(to) };
}

function relative(from: string, to: string): string {
  const up = from.split('/').length - 1;
  return `./${'../'.repeat(up)}${to}`;
}
