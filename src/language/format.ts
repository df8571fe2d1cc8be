/**
 * Writes a text in its canonical form.
 *
 * The formatter works on tokens and comments, so nothing that it does not understand can get lost; it
 * leaves a declaration alone that has a syntax error. Its rules: members indented by two blanks, one
 * member a line, a block of up to two members stays on one line where it stood on one and fits 100
 * columns, one blank between words and two between members of a line, flags in their fixed order.
 */
import type { IToken } from 'chevrotain';
import { AstUtils, type AstNode } from 'langium';
import { meantUnit, unitOf } from '../model/quantity.js';
import { flagOrder, type FlagGroup } from './flag-order.js';
import { parsePiece, scan } from './parse.js';
import { splitText } from './split.js';

/** Columns that a line of members may fill. */
const widestLine = 100;

export type FormatResult =
  | { readonly kind: 'formatted'; readonly text: string }
  /** `offset` is where the first syntax error stands. */
  | { readonly kind: 'refused'; readonly offset: number; readonly why: string };

/** Formats a whole file. Refuses where it has a syntax error; line ends stay as they are. */
export function formatText(text: string): FormatResult {
  const lineEnd = text.includes('\r\n') ? '\r\n' : '\n';
  const pieces: string[] = [];
  for (const piece of splitText(text)) {
    const { problems } = parsePiece(piece.text);
    const first = problems[0];
    if (first !== undefined) {
      return { kind: 'refused', offset: piece.start + first.start, why: first.what };
    }
    pieces.push(formatPiece(piece.text) ?? piece.text);
  }
  const joined = pieces.join('').replace(/^\n+/u, '').trimEnd();
  return { kind: 'formatted', text: joined === '' ? '' : `${joined}\n`.replaceAll('\n', lineEnd) };
}

/** Formats one piece; undefined where it has a syntax error. Lines end with `\n`. */
export function formatPiece(text: string): string | undefined {
  const { file, problems } = parsePiece(text);
  if (problems.length > 0) {
    return undefined;
  }
  const starts = new Map<number, AstNode>();
  for (const node of AstUtils.streamAllContents(file)) {
    if (memberProperties.has(node.$containerProperty ?? '') && node.$cstNode !== undefined) {
      starts.set(node.$cstNode.offset, node);
    }
  }
  const { tokens, hidden } = scan(text);
  const reader = new StatementReader(text, tokens, hidden, starts);
  const { statements, after } = reader.readAll();
  const lines = [...printStatements(statements, ''), ...after];
  const blankLines = /\n[ \t\r]*\n[ \t\r\n]*$/u.test(text) ? 1 : 0;
  const alignedLines = alignComments(lines);
  return (
    alignedLines.map((line) => `${line}\n`).join('') +
    '\n'.repeat(alignedLines.length === 0 ? 0 : blankLines)
  );
}

/** Whether a piece stands in its canonical form already. */
export function isFormatted(text: string): boolean {
  return formatPiece(text)?.trimEnd() === text.trimEnd();
}

/** Properties whose nodes are members of a block, or declarations. */
const memberProperties = new Set([
  'declarations',
  'facts',
  'lines',
  'rooms',
  'ways',
  'parts',
  'spurs',
  'figures',
]);

interface Statement {
  readonly node: AstNode | undefined;
  readonly head: readonly IToken[];
  readonly commentsBefore: readonly string[];
  readonly blankBefore: boolean;
  trailing: string | undefined;
  readonly block:
    | {
        readonly members: readonly Statement[];
        readonly trailingOpen: string | undefined;
        readonly commentsAtEnd: readonly string[];
        readonly onOneLine: boolean;
      }
    | undefined;
}

class StatementReader {
  private next = 0;
  private nextComment = 0;
  private lastEnd = 0;

  constructor(
    private readonly text: string,
    private readonly tokens: readonly IToken[],
    private readonly comments: readonly IToken[],
    private readonly starts: ReadonlyMap<number, AstNode>,
  ) {}

  readAll(): { statements: Statement[]; after: string[] } {
    const statements = this.readStatements();
    return { statements, after: this.ownLineComments(this.text.length) };
  }

  private readStatements(): Statement[] {
    const statements: Statement[] = [];
    while (this.next < this.tokens.length && this.tokens[this.next]!.image !== '}') {
      statements.push(this.readStatement());
    }
    return statements;
  }

  private readStatement(): Statement {
    const first = this.tokens[this.next]!;
    const blankBefore = /\n[ \t\r]*\n/u.test(
      this.text.slice(this.lastEnd, this.commentStartBefore(first.startOffset)),
    );
    const commentsBefore = this.ownLineComments(first.startOffset);
    const head: IToken[] = [];
    const moved: string[] = [];
    let block: Statement['block'];
    while (this.next < this.tokens.length) {
      const token = this.tokens[this.next]!;
      const startsMember = token !== first && this.starts.has(token.startOffset);
      if (token.image === '}' || startsMember) {
        break;
      }
      // A comment inside a statement moves behind it: a statement is one line.
      moved.push(...this.commentsUntil(token.startOffset));
      this.next++;
      this.lastEnd = token.startOffset + token.image.length;
      if (token.tokenType.name === '{') {
        block = this.readBlock(token);
        break;
      }
      head.push(token);
    }
    const trailing = [...moved, ...this.trailingComment()];
    return {
      node: this.starts.get(first.startOffset),
      head,
      commentsBefore,
      blankBefore,
      trailing: trailing.length === 0 ? undefined : trailing.join(' '),
      block,
    };
  }

  private readBlock(open: IToken): Statement['block'] {
    const trailingOpen = this.trailingComment().join(' ');
    const members = this.readStatements();
    const close = this.tokens[this.next];
    const commentsAtEnd = this.ownLineComments(close?.startOffset ?? this.text.length);
    this.next++;
    const end = close?.startOffset ?? this.text.length;
    this.lastEnd = end + 1;
    return {
      members,
      trailingOpen: trailingOpen === '' ? undefined : trailingOpen,
      commentsAtEnd,
      onOneLine: !this.text.slice(open.startOffset, end).includes('\n'),
    };
  }

  /** Comments on the line of the last token, behind it and before the next. */
  private trailingComment(): string[] {
    const found: string[] = [];
    while (this.nextComment < this.comments.length) {
      const comment = this.comments[this.nextComment]!;
      const isNext =
        comment.startOffset < (this.tokens[this.next]?.startOffset ?? Number.POSITIVE_INFINITY);
      if (!isNext || this.text.slice(this.lastEnd, comment.startOffset).includes('\n')) {
        break;
      }
      found.push(comment.image.trimEnd());
      this.nextComment++;
      this.lastEnd = comment.startOffset + comment.image.length;
    }
    return found;
  }

  private commentsUntil(offset: number): string[] {
    const found: string[] = [];
    while (
      this.nextComment < this.comments.length &&
      this.comments[this.nextComment]!.startOffset < offset
    ) {
      found.push(this.comments[this.nextComment]!.image.trimEnd());
      this.nextComment++;
    }
    return found;
  }

  /** Comments on lines of their own; a blank line before one is kept as an empty text. */
  private ownLineComments(offset: number): string[] {
    const found: string[] = [];
    while (
      this.nextComment < this.comments.length &&
      this.comments[this.nextComment]!.startOffset < offset
    ) {
      const comment = this.comments[this.nextComment]!;
      if (
        found.length > 0 &&
        /\n[ \t\r]*\n/u.test(this.text.slice(this.lastEnd, comment.startOffset))
      ) {
        found.push('');
      } else if (
        found.length === 0 &&
        this.lastEnd > 0 &&
        offset === this.text.length &&
        /\n[ \t\r]*\n/u.test(this.text.slice(this.lastEnd, comment.startOffset))
      ) {
        found.push('');
      }
      found.push(comment.image.trimEnd());
      this.nextComment++;
      this.lastEnd = comment.startOffset + comment.image.length;
    }
    if (
      found.length > 0 &&
      offset < this.text.length &&
      /\n[ \t\r]*\n/u.test(this.text.slice(this.lastEnd, offset))
    ) {
      found.push('');
    }
    return found;
  }

  private commentStartBefore(offset: number): number {
    const comment = this.comments[this.nextComment];
    return comment !== undefined && comment.startOffset < offset ? comment.startOffset : offset;
  }
}

function printStatements(statements: readonly Statement[], indent: string): string[] {
  const lines: string[] = [];
  statements.forEach((statement, index) => {
    if (statement.blankBefore && (index > 0 || indent !== '')) {
      if (index > 0) {
        lines.push('');
      }
    }
    lines.push(
      ...statement.commentsBefore.map((comment) => (comment === '' ? '' : indent + comment)),
    );
    const previous = statements[index - 1];
    if (
      previous !== undefined &&
      belongTogether(previous, statement) &&
      statement.commentsBefore.length === 0 &&
      !statement.blankBefore &&
      previous.trailing === undefined
    ) {
      const last = lines.pop() ?? '';
      lines.push(`${last} ${headOf(statement)}${comment(statement.trailing)}`);
      return;
    }
    lines.push(...printStatement(statement, indent));
  });
  return lines;
}

/** `screened twisted` and `drawing … revision …` stay on one line though each is a fact of its own. */
function belongTogether(one: Statement, other: Statement): boolean {
  const kinds = `${one.node?.$type ?? ''} ${other.node?.$type ?? ''}`;
  return (
    kinds === 'ScreenedFact TwistedFact' ||
    kinds === 'TwistedFact ScreenedFact' ||
    kinds === 'DrawingFact RevisionFact'
  );
}

function printStatement(statement: Statement, indent: string): string[] {
  const head = indent + headOf(statement);
  const { block } = statement;
  if (block === undefined) {
    return [head + comment(statement.trailing)];
  }
  const inline = inlineBlock(block);
  if (inline !== undefined && `${head} ${inline}`.length <= widestLine) {
    return [`${head} ${inline}${comment(statement.trailing)}`];
  }
  return [
    `${head} {${comment(block.trailingOpen)}`,
    ...printStatements(block.members, `${indent}  `),
    ...block.commentsAtEnd
      .map((one) => (one === '' ? '' : `${indent}  ${one}`))
      .filter((one, index, all) => one !== '' || index < all.length - 1),
    `${indent}}${comment(statement.trailing)}`,
  ];
}

function inlineBlock(block: NonNullable<Statement['block']>): string | undefined {
  const members = block.members;
  const hasComments =
    block.trailingOpen !== undefined ||
    block.commentsAtEnd.length > 0 ||
    members.some((member) => member.commentsBefore.length > 0 || member.trailing !== undefined);
  if (members.length > 2 || hasComments || !block.onOneLine) {
    return undefined;
  }
  const parts: string[] = [];
  for (const member of members) {
    const inner = member.block === undefined ? '' : inlineBlock(member.block);
    if (inner === undefined) {
      return undefined;
    }
    parts.push(headOf(member) + (inner === '' ? '' : ` ${inner}`));
  }
  return parts.length === 0 ? '{ }' : `{ ${parts.join('  ')} }`;
}

function headOf(statement: Statement): string {
  const order = statement.node === undefined ? undefined : flagOrder[statement.node.$type];
  return joinTokens(order === undefined ? statement.head : sortFlags(statement.head, order));
}

/** Puts the flags behind a statement's fixed beginning into their order; equal ones keep theirs. */
function sortFlags(
  tokens: readonly IToken[],
  order: { readonly begins: number | 'path'; readonly groups: readonly FlagGroup[] },
): IToken[] {
  let position = beginningOf(tokens, order.begins);
  const fixed = tokens.slice(0, position);
  const groups: { rank: number; tokens: IToken[] }[] = [];
  while (position < tokens.length) {
    const token = tokens[position]!;
    const rank = order.groups.findIndex((group) =>
      group.matches(token.image, token.tokenType.name),
    );
    const group = order.groups[rank];
    if (group === undefined) {
      return [...tokens];
    }
    const end = Math.min(tokens.length, endOfGroup(tokens, position, group));
    groups.push({ rank, tokens: tokens.slice(position, end) });
    position = end;
  }
  groups.sort((one, other) => one.rank - other.rank);
  return [...fixed, ...groups.flatMap((group) => group.tokens)];
}

function beginningOf(tokens: readonly IToken[], begins: number | 'path'): number {
  let position = begins === 'path' ? pathEnd(tokens, 1) : begins;
  if (begins !== 'path' && tokens[position]?.tokenType.name === 'STRING') {
    position++;
  }
  if (begins === 'path' && tokens[position]?.tokenType.name === 'WORD') {
    position++;
  }
  if (tokens[position]?.image === ':') {
    position += 2;
  }
  return position;
}

function pathEnd(tokens: readonly IToken[], start: number): number {
  let position = start + 1;
  while (tokens[position]?.image === '.') {
    position += 2;
  }
  return position;
}

function endOfGroup(tokens: readonly IToken[], start: number, group: FlagGroup): number {
  switch (group.takes) {
    case 'nothing':
      return start + 1;
    case 'one':
      return start + 2;
    case 'path':
      return pathEnd(tokens, start + 1);
    case 'two paths': {
      const end = pathEnd(tokens, start + 1);
      return tokens[end]?.image === 'and' ? pathEnd(tokens, end + 1) : end;
    }
    case 'list': {
      let position = start + 2;
      while (tokens[position]?.image === ',') {
        position += 2;
      }
      return position;
    }
  }
}

function joinTokens(tokens: readonly IToken[]): string {
  let text = '';
  tokens.forEach((token, index) => {
    const previous = tokens[index - 1]?.image;
    const glued = index === 0 || token.image === ',' || token.image === '.' || previous === '.';
    text += (glued ? '' : ' ') + imageOf(token);
  });
  return text;
}

function imageOf(token: IToken): string {
  const kind = token.tokenType.name;
  if (kind === 'QUANTITY') {
    const match = /^([+-]?\d[\d.,/]*?)[ \t]*(%|[^\d\s.,/].*)$/u.exec(token.image);
    const unit = match?.[2]?.replaceAll(/[ \t]+/gu, ' ');
    // What is no unit would fall apart into two words with a blank before it.
    const isUnit = unit !== undefined && (unitOf(unit) ?? meantUnit(unit)) !== undefined;
    return match === null || !isUnit ? token.image : `${match[1]!} ${unit}`;
  }
  return kind === 'TIMES' ? `${Number.parseInt(token.image, 10)} x` : token.image;
}

function comment(text: string | undefined): string {
  return text === undefined ? '' : `  ${text}`;
}

/** Comments behind neighbouring lines start in one column where that keeps the lines within bounds. */
function alignComments(lines: readonly string[]): string[] {
  const result = [...lines];
  let start = 0;
  while (start < lines.length) {
    if (splitComment(lines[start]!) === undefined) {
      start++;
      continue;
    }
    let end = start;
    while (end < lines.length && splitComment(lines[end]!) !== undefined) {
      end++;
    }
    const parts = lines.slice(start, end).map((line) => splitComment(line)!);
    const column = Math.max(...parts.map((part) => part.code.length));
    parts.forEach((part, index) => {
      result[start + index] = `${part.code.padEnd(column)}  ${part.comment}`;
    });
    start = end;
  }
  return result;
}

/** A line's code and its trailing comment; undefined where it has not both. */
function splitComment(line: string): { code: string; comment: string } | undefined {
  let inString = false;
  for (let index = 0; index < line.length; index++) {
    const character = line[index];
    if (inString && character === '\\') {
      index++;
    } else if (character === '"') {
      inString = !inString;
    } else if (!inString && character === '/' && line[index + 1] === '/') {
      const code = line.slice(0, index).trimEnd();
      return code === '' ? undefined : { code, comment: line.slice(index) };
    }
  }
  return undefined;
}
