/**
 * Model edits → text. A fix is said about the model; only this file knows how the text says it.
 *
 * A declaration that stood in its canonical form before the edit stands in it afterwards; one that did
 * not is left as its author wrote it, but for the edit.
 */
import type { LandingFlag, ModelEdit, ReorderedLanding } from '../model/edit.js';
import { part, placeOf, type DeclarationId, type Place } from '../model/origin.js';
import { formatNumber } from '../model/quantity.js';
import type { Site } from '../model/site.js';
import { formatPiece, isFormatted } from './format.js';

/** A replacement in one file, by offsets. */
export interface TextChange {
  readonly file: string;
  readonly start: number;
  readonly end: number;
  readonly text: string;
}

/** Where a part stands in its file. */
export interface PartAt {
  readonly file: string;
  readonly start: number;
  readonly end: number;
}

/** How this file sees the site's text. */
export interface SiteText {
  readonly site: Site;
  /** The exact part; undefined where the text does not have it. */
  at(place: Place): PartAt | undefined;
  /** The nearest part that contains it. */
  near(place: Place): PartAt | undefined;
  textOf(file: string): string;
  /** The site's own file, for new declarations that belong to no other. */
  readonly rootFile: string;
}

/** The changes that carry out some edits, in text order, without overlaps. Edits that no longer fit are left out. */
export function writeEdits(text: SiteText, edits: readonly ModelEdit[]): TextChange[] {
  const changes = edits.flatMap((edit) => changesFor(text, edit));
  return tidied(text, joined(text, edits, changes));
}

/** Several new address lines of one device stand in one block, not in a block each. */
function joined(
  text: SiteText,
  edits: readonly ModelEdit[],
  changes: readonly TextChange[],
): readonly TextChange[] {
  const [first, ...others] = edits;
  const addresses = edits.flatMap((edit) =>
    edit.kind === 'set-address' && addressLineFor(text, edit) === undefined ? [edit] : [],
  );
  const isOneDevice =
    first?.kind === 'set-address' &&
    others.length > 0 &&
    addresses.length === edits.length &&
    addresses.every((edit) => edit.device === first.device);
  return isOneDevice
    ? addMember(text, first.device, addresses.map(addressText).join('  '))
    : changes;
}

type SetAddress = Extract<ModelEdit, { readonly kind: 'set-address' }>;

function addressLineFor(text: SiteText, edit: SetAddress) {
  return text.site.devices
    .get(edit.device)
    ?.addresses.find(
      (one) => one.port === edit.port || (edit.port !== undefined && one.port === undefined),
    );
}

function addressText(edit: SetAddress): string {
  return `address ${edit.address}${edit.port === undefined ? '' : ` on ${edit.port}`}`;
}

function changesFor(text: SiteText, edit: ModelEdit): TextChange[] {
  switch (edit.kind) {
    case 'set-address': {
      const line = addressLineFor(text, edit);
      return line === undefined
        ? addMember(text, edit.device, addressText(edit))
        : replace(
            text,
            placeOf(edit.device, part('address', line.index, 'value')),
            String(edit.address),
          );
    }
    case 'add-landing':
      return addLanding(text, edit.run, edit.device, edit.port, edit.flags);
    case 'remove-landing':
      return removeStatement(text, placeOf(edit.run, part('land', edit.landing)));
    case 'move-landing': {
      const landing = landingOf(text, edit.run, edit.landing);
      return landing === undefined
        ? []
        : [
            ...removeStatement(text, placeOf(edit.run, part('land', edit.landing))),
            ...addLanding(
              text,
              edit.toRun,
              landing.device,
              landing.member,
              landing.existing ? ['existing'] : [],
            ),
          ];
    }
    case 'reorder-landings':
      return reorderLandings(text, edit.run, edit.order);
    case 'set-landing-flag':
      return landingOf(text, edit.run, edit.landing)?.[edit.flag] === true
        ? []
        : append(text, placeOf(edit.run, part('land', edit.landing)), ` ${edit.flag}`);
    case 'clear-landing-flag':
      return removeWord(text, placeOf(edit.run, part('land', edit.landing, edit.flag)));
    case 'set-run-cable': {
      const at = text.at(placeOf(edit.run, 'cable'));
      if (at !== undefined) {
        return [{ ...change(at), text: edit.cable }];
      }
      const header =
        text.at(placeOf(edit.run, 'and')) ??
        text.at(placeOf(edit.run, 'type')) ??
        text.at(placeOf(edit.run, 'from'));
      return header === undefined
        ? []
        : [{ file: header.file, start: header.end, end: header.end, text: ` using ${edit.cable}` }];
    }
    case 'set-inlet-line': {
      const covered = edit.covered ? ' covered' : '';
      const line = text.site.devices
        .get(edit.device)
        ?.inletLines.find((one) => one.inlet === edit.inlet);
      return line === undefined
        ? addMember(text, edit.device, `inlet ${edit.inlet} from ${edit.from}${covered}`)
        : replace(text, placeOf(edit.device, part('inlet', line.index, 'from')), edit.from);
    }
    case 'divide-containment':
      return divideContainment(text, edit.containment);
    case 'cover-inlet-line':
      return append(text, placeOf(edit.device, part('inlet', edit.line)), ' covered');
    case 'set-host-address': {
      const place = placeOf(edit.network, part('host', edit.host, 'address'));
      return text.at(place) === undefined
        ? append(text, placeOf(edit.network, part('host', edit.host, 'target')), ` ${edit.address}`)
        : replace(text, place, edit.address);
    }
    case 'set-laptop': {
      const place = placeOf(edit.network, part('laptop', 0, 'address'));
      return text.at(place) === undefined
        ? addMember(text, edit.network, `laptop ${edit.address}`)
        : replace(text, place, edit.address);
    }
    case 'add-isolator':
      return addDeclaration(
        text,
        ownerOf(edit.on),
        `isolator ${edit.name} on ${edit.on} in ${edit.room} lockable`,
      );
    case 'add-waiver': {
      const upTo = edit.upTo === undefined ? '' : ` up to ${edit.upTo}`;
      return addDeclaration(
        text,
        undefined,
        `accept ${edit.rule} on ${edit.subject}${upTo} because ${quoted(edit.because)} until ${edit.until}`,
      );
    }
    case 'add-use': {
      const at = text.near(placeOf(edit.usingDeclaration));
      const file = at?.file ?? text.rootFile;
      const lines = [...text.textOf(file).matchAll(/^use[ \t].*$/gmu)];
      const last = lines[lines.length - 1];
      const start = last === undefined ? 0 : last.index + last[0].length;
      return [
        {
          file,
          start,
          end: start,
          text: last === undefined ? `use ${quoted(edit.path)}\n\n` : `\nuse ${quoted(edit.path)}`,
        },
      ];
    }
    case 'replace-value': {
      const at = text.at(edit.at) ?? text.near(edit.at);
      if (at === undefined) {
        return [];
      }
      return edit.text === '' ? removeSpan(text, at) : [{ ...change(at), text: edit.text }];
    }
    case 'remove-statement':
      return removeStatement(text, edit.at);
  }
}

/** The places of the lines stay, and with them the comments above; what stands in them changes. */
function reorderLandings(
  text: SiteText,
  run: string,
  order: readonly ReorderedLanding[],
): TextChange[] {
  const lines = order.map(({ landing }) => text.at(placeOf(run, part('land', landing))));
  if (lines.some((line) => line === undefined)) {
    return [];
  }
  const slots = (lines as PartAt[])
    .map((line) => withTrailingComment(text, line))
    .sort((one, other) => one.start - other.start);
  return order.map((moved, position) => ({
    ...change(slots[position]!),
    text: reorderedLine(text, run, moved),
  }));
}

function reorderedLine(text: SiteText, run: string, moved: ReorderedLanding): string {
  const line = withTrailingComment(text, text.at(placeOf(run, part('land', moved.landing)))!);
  const before = landingOf(text, run, moved.landing);
  const changes: TextChange[] = [];
  const at = (name: string): PartAt | undefined =>
    text.at(placeOf(run, part('land', moved.landing, name)));
  const length = at('length');
  const target = at('target');
  if (before?.lengthM !== moved.lengthM) {
    const stated = moved.lengthM === undefined ? '' : ` ${formatNumber(moved.lengthM)} m`;
    changes.push(...(length === undefined ? [] : removeSpan(text, length)));
    if (target !== undefined && stated !== '') {
      changes.push({ file: target.file, start: target.end, end: target.end, text: stated });
    }
  }
  const terminated = at('terminated');
  if (terminated !== undefined && !moved.terminated) {
    changes.push(...removeSpan(text, terminated));
  }
  if (terminated === undefined && moved.terminated) {
    changes.push(...append(text, placeOf(run, part('land', moved.landing)), ' terminated'));
  }
  return applyChanges(
    text.textOf(line.file).slice(line.start, line.end),
    changes.map((one) => ({
      ...one,
      start: one.start - line.start,
      end: one.end - line.start,
    })),
  );
}

/** A comment behind a landing is about it and goes with it. */
function withTrailingComment(text: SiteText, line: PartAt): PartAt {
  const comment = /^[ \t]*\/\/[^\r\n]*/u.exec(text.textOf(line.file).slice(line.end));
  return comment === null ? line : { ...line, end: line.end + comment[0].length };
}

function divideContainment(text: SiteText, containment: string): TextChange[] {
  if (text.site.containments.get(containment)?.divided !== false) {
    return [];
  }
  const title = placeOf(containment, 'title');
  return append(text, text.at(title) === undefined ? placeOf(containment) : title, ' divided');
}

function landingOf(text: SiteText, run: string, index: number) {
  return (text.site.buses.get(run) ?? text.site.feeds.get(run))?.landings.find(
    (one) => one.index === index,
  );
}

function addLanding(
  text: SiteText,
  run: string,
  device: string,
  port: string,
  flags: readonly LandingFlag[],
): TextChange[] {
  const line = ['land', `${device}.${port}`, ...flags].join(' ');
  const closing = text.at(placeOf(run, 'ring')) ?? text.at(placeOf(run, 'last'));
  if (closing === undefined) {
    return addMember(text, run, line);
  }
  const whole = text.textOf(closing.file);
  const indent = indentAt(whole, closing.start);
  return [
    { file: closing.file, start: closing.start, end: closing.start, text: `${line}\n${indent}` },
  ];
}

/** Adds a member at the end of a declaration's block; makes the block where there is none. */
function addMember(text: SiteText, declaration: DeclarationId, member: string): TextChange[] {
  const at = text.at(placeOf(declaration, 'all'));
  if (at === undefined) {
    return [];
  }
  const whole = text.textOf(at.file);
  const own = whole.slice(at.start, at.end);
  if (!own.endsWith('}')) {
    return [{ file: at.file, start: at.end, end: at.end, text: ` { ${member} }` }];
  }
  const close = at.end - 1;
  const beforeClose = own.slice(0, -1);
  if (/\n[ \t\r]*$/u.test(beforeClose)) {
    const start = at.start + beforeClose.trimEnd().length;
    const lineEnd = whole.indexOf('\n', start);
    // A comment behind the last member stays on its line.
    const insertAt = lineEnd >= 0 && lineEnd < close ? lastLineEnd(whole, close) : start;
    return [{ file: at.file, start: insertAt, end: insertAt, text: `\n  ${member}` }];
  }
  const inner = own.slice(own.indexOf('{') + 1, -1).trim();
  const trimmed = at.start + beforeClose.trimEnd().length;
  const separator = inner === '' ? ' ' : '  ';
  return [{ file: at.file, start: trimmed, end: close, text: `${separator}${member} ` }];
}

/** The end of the last line before a closing brace that holds anything. */
function lastLineEnd(whole: string, close: number): number {
  return whole.slice(0, close).trimEnd().length;
}

/** Adds a declaration behind another one, or at the end of the site's file. */
function addDeclaration(
  text: SiteText,
  behind: DeclarationId | undefined,
  line: string,
): TextChange[] {
  const at = behind === undefined ? undefined : text.at(placeOf(behind, 'all'));
  if (at !== undefined) {
    const whole = text.textOf(at.file);
    const end = whole.indexOf('\n', at.end);
    const start = end < 0 ? whole.length : end;
    return [{ file: at.file, start, end: start, text: `\n\n${line}` }];
  }
  const whole = text.textOf(text.rootFile);
  const start = whole.trimEnd().length;
  const lastLine = whole.slice(whole.lastIndexOf('\n', start - 1) + 1, start);
  const gap = /^(?:accept|observed)[ \t]/u.test(lastLine) ? '\n' : '\n\n';
  return [{ file: text.rootFile, start, end: whole.length, text: `${gap}${line}\n` }];
}

function replace(text: SiteText, place: Place, replacement: string): TextChange[] {
  const at = text.at(place);
  return at === undefined ? [] : [{ ...change(at), text: replacement }];
}

function append(text: SiteText, place: Place, addition: string): TextChange[] {
  const at = text.at(place);
  return at === undefined ? [] : [{ file: at.file, start: at.end, end: at.end, text: addition }];
}

/** Removes a word with the blanks before it. */
function removeWord(text: SiteText, place: Place): TextChange[] {
  const at = text.at(place);
  return at === undefined ? [] : removeSpan(text, at);
}

function removeSpan(text: SiteText, at: PartAt): TextChange[] {
  const whole = text.textOf(at.file);
  let start = at.start;
  while (start > 0 && /[ \t]/u.test(whole[start - 1]!)) {
    start--;
  }
  return [{ file: at.file, start, end: at.end, text: '' }];
}

/** Removes a statement; its whole line where it stands alone there. */
function removeStatement(text: SiteText, place: Place): TextChange[] {
  const at = text.at(
    place.part === 'name' || place.part === '' ? { ...place, part: 'all' } : place,
  );
  if (at === undefined) {
    return [];
  }
  const whole = text.textOf(at.file);
  const end = place.part.startsWith('land/') ? endWithBlock(whole, at.end) : at.end;
  const lineStart = whole.lastIndexOf('\n', at.start - 1) + 1;
  const lineBreak = whole.indexOf('\n', end);
  const lineEnd = lineBreak < 0 ? whole.length : lineBreak;
  const alone =
    whole.slice(lineStart, at.start).trim() === '' &&
    /^[ \t\r]*(?:\/\/.*)?$/u.test(whole.slice(end, lineEnd));
  if (!alone) {
    return removeSpan(text, { ...at, end });
  }
  const isDeclaration = place.part === 'name' || place.part === '';
  const start = isDeclaration ? startWithDoc(whole, lineStart) : lineStart;
  const last = Math.min(lineEnd + 1, whole.length);
  const blankBefore = /\n[ \t\r]*\n$/u.test(whole.slice(Math.max(0, start - 200), start));
  const blankBehind = /^[ \t\r]*(?:\n|$)/u.test(whole.slice(last, last + 200));
  // Where nothing, or a blank line, follows, the blank line before would stand alone.
  return [
    {
      file: at.file,
      start: isDeclaration && blankBefore && blankBehind ? blankLineStart(whole, start) : start,
      end: last,
      text: '',
    },
  ];
}

/** A declaration goes with the `///` lines right above it. */
function startWithDoc(whole: string, lineStart: number): number {
  let start = lineStart;
  for (;;) {
    const before = whole.lastIndexOf('\n', start - 2) + 1;
    if (start === 0 || !whole.slice(before, start).startsWith('///')) {
      return start;
    }
    start = before;
  }
}

/** The start of the blank line that ends at an offset. */
function blankLineStart(whole: string, offset: number): number {
  return whole.lastIndexOf('\n', offset - 2) + 1;
}

/** A landing with spurs goes with its spurs. */
function endWithBlock(whole: string, end: number): number {
  const open = /^[ \t]*\{/u.exec(whole.slice(end));
  if (open === null) {
    return end;
  }
  let depth = 0;
  for (let index = end + open[0].length - 1; index < whole.length; index++) {
    if (whole[index] === '{') {
      depth++;
    } else if (whole[index] === '}' && --depth === 0) {
      return index + 1;
    }
  }
  return end;
}

/** Merges changes of one piece and puts it back into its canonical form where it stood in it. */
function tidied(text: SiteText, changes: readonly TextChange[]): TextChange[] {
  const byFile = new Map<string, TextChange[]>();
  for (const one of changes) {
    byFile.set(one.file, [...(byFile.get(one.file) ?? []), one]);
  }
  return [...byFile].flatMap(([file, all]) => {
    const sorted = withoutOverlaps(all);
    return tidiedFile(text.textOf(file), file, sorted);
  });
}

function withoutOverlaps(changes: readonly TextChange[]): TextChange[] {
  const sorted = [...changes].sort((one, other) => one.start - other.start || one.end - other.end);
  return sorted.filter((one, index) => index === 0 || one.start >= sorted[index - 1]!.end);
}

function tidiedFile(whole: string, file: string, changes: readonly TextChange[]): TextChange[] {
  const lineEnd = whole.includes('\r\n') ? '\r\n' : '\n';
  return groupByPiece(whole, changes).flatMap(({ start, end, changes: own }) => {
    const before = whole.slice(start, end);
    const after = applyChanges(
      before,
      own.map((one) => ({ ...one, start: one.start - start, end: one.end - start })),
    );
    if (!isFormatted(before.replaceAll('\r\n', '\n'))) {
      return own.map((one) => ({ ...one, text: one.text.replaceAll('\n', lineEnd) }));
    }
    const formatted = formatPiece(after.replaceAll('\r\n', '\n'));
    // Blank lines behind a declaration belong to the file and stay as they are.
    const result =
      formatted === undefined ? after : formatted.trimEnd() + after.slice(after.trimEnd().length);
    return smallest(file, start, before, result.replaceAll('\r\n', '\n').replaceAll('\n', lineEnd));
  });
}

/** The pieces that changes touch: a change of one declaration never reaches into another. */
function groupByPiece(
  whole: string,
  changes: readonly TextChange[],
): { start: number; end: number; changes: TextChange[] }[] {
  const starts = [...whole.matchAll(/^[A-Za-zÀ-ÖØ-öø-ɏ]/gmu)].map((match) => match.index);
  const groups: { start: number; end: number; changes: TextChange[] }[] = [];
  for (const one of changes) {
    let start = 0;
    for (const candidate of starts) {
      if (candidate <= one.start) {
        start = candidate;
      } else {
        break;
      }
    }
    const next =
      starts.find((candidate) => candidate > start && candidate >= one.end) ?? whole.length;
    const last = groups[groups.length - 1];
    if (last !== undefined && last.start === start) {
      last.changes.push(one);
      last.end = Math.max(last.end, next);
    } else {
      groups.push({ start, end: next, changes: [one] });
    }
  }
  return groups;
}

/** Applies changes that do not overlap; where one is put in and another begins, what is put in comes first. */
export function applyChanges(
  text: string,
  changes: readonly Pick<TextChange, 'start' | 'end' | 'text'>[],
): string {
  let result = text;
  // What is put in at one offset stands there in the order of the changes, as in the protocol.
  for (const one of [...changes]
    .reverse()
    .sort((left, right) => right.start - left.start || right.end - left.end)) {
    result = result.slice(0, one.start) + one.text + result.slice(one.end);
  }
  return result;
}

/** The smallest change that makes one text of another, or none. */
function smallest(file: string, offset: number, before: string, after: string): TextChange[] {
  if (before === after) {
    return [];
  }
  let start = 0;
  while (start < before.length && start < after.length && before[start] === after[start]) {
    start++;
  }
  let tail = 0;
  while (
    tail < before.length - start &&
    tail < after.length - start &&
    before[before.length - 1 - tail] === after[after.length - 1 - tail]
  ) {
    tail++;
  }
  return [
    {
      file,
      start: offset + start,
      end: offset + before.length - tail,
      text: after.slice(start, after.length - tail),
    },
  ];
}

function change(at: PartAt): Pick<TextChange, 'file' | 'start' | 'end'> {
  return { file: at.file, start: at.start, end: at.end };
}

function quoted(text: string): string {
  return `"${text.replaceAll('\\', '\\\\').replaceAll('"', '\\"')}"`;
}

function ownerOf(member: string): string {
  return member.slice(0, member.lastIndexOf('.'));
}

function indentAt(whole: string, offset: number): string {
  return /^[ \t]*/u.exec(whole.slice(whole.lastIndexOf('\n', offset - 1) + 1))?.[0] ?? '';
}
