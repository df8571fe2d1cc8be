/** What a hover says: what a name is, what its author wrote about it, and what is computed for it. */
import { factsOf } from '../../analysis/facts.js';
import { kindName, membersOf } from '../../language/resolve.js';
import type { Fact } from '../../model/finding.js';
import { placeOf } from '../../model/origin.js';
import { formatNumber } from '../../model/quantity.js';
import type { Declaration } from '../../model/records.js';
import type { Site } from '../../model/site.js';
import type { CheckedSite } from '../workbench.js';
import { cursorAt, targetAt } from './cursor.js';

export interface Hover {
  /** Markdown. */
  readonly text: string;
  /** Offsets in the file. */
  readonly start: number;
  readonly end: number;
}

export function hoverAt(checked: CheckedSite, path: string, offset: number): Hover | undefined {
  const cursor = cursorAt(checked.open, path, offset);
  if (cursor?.declaration === undefined || cursor.id === undefined) {
    return undefined;
  }
  const inPiece = offset - cursor.piece.start;
  const slot = cursor.declaration.slots.find((one) => inPiece >= one.start && inPiece <= one.end);
  if (slot !== undefined) {
    const value = cursor.piece.text.slice(slot.start, slot.end);
    const explains = slot.values[value] ?? '';
    return {
      text: `**${value}**: ${slot.slot}${explains === '' ? '' : `\n\n${explains}`}`,
      start: cursor.piece.start + slot.start,
      end: cursor.piece.start + slot.end,
    };
  }
  const target = targetAt(checked.open, cursor);
  if (target === undefined) {
    return undefined;
  }
  const span = cursor.reference ?? cursor.declaration.origins.get(target.place.part);
  const subject = subjectOf(cursor.reference, target, cursor.declaration.record);
  const text = describe(checked, target.place.declaration, target.place.part, subject);
  return span === undefined || text === ''
    ? undefined
    : { text, start: cursor.piece.start + span.start, end: cursor.piece.start + span.end };
}

/** What a hover says about a dotted name such as `FC-1-03.field`; undefined where nothing has it. */
export function descriptionOf(checked: CheckedSite, name: string): string | undefined {
  const { site } = checked.open;
  const cut = name.lastIndexOf('.');
  const place = site.byName.has(name)
    ? placeOf(name)
    : membersOf(site, name.slice(0, Math.max(0, cut)), []).get(name.slice(cut + 1))?.place;
  const text = place && describe(checked, place.declaration, place.part, name);
  return text === '' ? undefined : text;
}

/** The facts' subject behind a name: a member is named with the device that the text names. */
function subjectOf(
  reference: { owner?: string; name: string } | undefined,
  target: { name: string; place: { declaration: string; part: string } },
  record: Declaration,
): string {
  if (reference?.owner !== undefined) {
    return `${reference.owner}.${reference.name}`;
  }
  const isMember = target.place.part !== 'name';
  return isMember && 'name' in record ? `${target.place.declaration}.${target.name}` : target.name;
}

function describe(
  checked: CheckedSite,
  declaration: string,
  part: string,
  subject: string,
): string {
  const { site } = checked.open;
  const record = checked.open.declaredAt.get(declaration)?.declaration.record;
  if (record === undefined) {
    return '';
  }
  const lines = [headline(site, record, part, subject)];
  const doc = 'doc' in record && part === 'name' ? record.doc : undefined;
  if (doc !== undefined) {
    lines.push(escapeMarkdown(doc));
  }
  if (record.kind === 'equipment' && part === 'name') {
    lines.push(...record.cautions.map((caution) => `⚠ ${escapeMarkdown(caution)}`));
  }
  const facts = factsOf(site, subject);
  if (facts.length > 0) {
    lines.push(facts.map((fact) => `- ${factLine(fact)}`).join('\n'));
  }
  const own = checked.findings.filter(
    ({ finding }) => finding.subject === subject && finding.waived !== null,
  );
  lines.push(
    ...own.map(
      ({ finding }) =>
        `Accepted: ${finding.rule}, because ${escapeMarkdown(finding.waived!.because)}`,
    ),
  );
  return lines.join('\n\n');
}

function headline(site: Site, record: Declaration, part: string, subject: string): string {
  const member = /^(\w+)\/[^/]+/u.exec(part)?.[1];
  const what = member !== undefined && part !== 'name' ? kindName(member) : kindName(record.kind);
  const title =
    'title' in record && part === 'name' && record.title !== undefined
      ? `: ${escapeMarkdown(record.title)}`
      : '';
  const of =
    record.kind === 'device' && part === 'name'
      ? `, ${escapeMarkdown(site.equipment.get(record.equipment)?.title ?? record.equipment)}${record.room === undefined ? '' : `, in ${record.room}`}`
      : '';
  return `**${subject}**, ${what}${title}${of}`;
}

/** One fact for people: value, limit and margin, where it came from. */
export function factLine(fact: Fact): string {
  if (fact.value === null) {
    return `${fact.fact}: unknown${fact.needs === undefined ? '' : ` (known with: \`${fact.needs}\`)`}`;
  }
  const value = Array.isArray(fact.value)
    ? fact.value.join(', ') || 'none'
    : typeof fact.value === 'number'
      ? formatNumber(fact.value)
      : String(fact.value);
  const unit = fact.unit === '' ? '' : ` ${fact.unit}`;
  const limit = fact.limit === undefined ? '' : ` of ${formatNumber(fact.limit)}${unit}`;
  const margin =
    fact.margin === undefined ? '' : `, margin ${formatNumber(fact.margin * 100, 0)} %`;
  const basis = fact.basis === 'computed' || fact.basis === 'stated' ? '' : ` (${fact.basis})`;
  return `${fact.fact}: ${value}${unit}${limit}${margin}${basis}`;
}

function escapeMarkdown(text: string): string {
  return text.replaceAll(/[\\`*_{}[\]<>#|!]/gu, String.raw`\$&`);
}
