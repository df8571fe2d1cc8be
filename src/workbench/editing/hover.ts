/** What a hover says: what a name is, what its author wrote about it, and what is computed for it. */
import { factsOf } from '../../analysis/facts.js';
import { isTemplateRecord } from '../../documents/templates/template-facts.js';
import { templateSummary } from '../../documents/templates/template-page.js';
import { kindName, membersOf } from '../../language/resolve.js';
import type { Fact } from '../../model/finding.js';
import { placeOf } from '../../model/origin.js';
import { formatNumber } from '../../model/quantity.js';
import type { Declaration } from '../../model/records.js';
import { memberKey, type Site } from '../../model/site.js';
import type { OpenSite } from '../open-site.js';
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
  const room = site.byName.has(name) ? undefined : site.rooms.get(name);
  const place = site.byName.has(name)
    ? placeOf(name)
    : room !== undefined
      ? placeOf(room.area.name, `room/${room.room.name}/name`)
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
  if (part === 'name' && isTemplateRecord(record)) {
    lines.push(templateSummary(record));
  }
  const statement = statementOf(checked.open, declaration, part);
  if (statement !== undefined) {
    const by = record.kind === 'equipment' ? ` by ${declaration}` : '';
    lines.push(`Stated${by}: \`${statement}\``);
  }
  lines.push(...connections(site, subject));
  const facts = factsOf(site, subject);
  if (facts.length > 0) {
    lines.push(facts.map((fact) => `- ${factLine(fact)}`).join('\n'));
  }
  lines.push(...seenOn(site, subject), ...waiversOf(checked, subject));
  return lines.filter((line) => line !== '').join('\n\n');
}

/** The words of a member: what its equipment, board or area says of it. */
function statementOf(open: OpenSite, declaration: string, part: string): string | undefined {
  const [kind, name, last] = part.split('/');
  if (last !== 'name' || kind === undefined || name === undefined) {
    return undefined;
  }
  const declared = open.declaredAt.get(declaration);
  const span = declared?.declaration.origins.get(`${kind}/${name}`);
  const text =
    declared &&
    span &&
    declared.file.text.slice(declared.pieceStart + span.start, declared.pieceStart + span.end);
  return text?.replaceAll(/\s+/gu, ' ').replaceAll('`', "'");
}

/** On which buses a port is landed, and from where an inlet is fed. */
function connections(site: Site, subject: string): string[] {
  const landed = (site.busLandings.get(subject) ?? []).map(({ run, landing }) => {
    const position = run.landings.indexOf(landing) + 1;
    return `Landed on ${run.name}, ${position} of ${run.landings.length}.`;
  });
  const fed = [
    ...(site.feedLandings.get(subject) ?? []).map(
      ({ run }) => `${run.name} (${memberKey(run.from.owner, run.from.member)})`,
    ),
    ...(site.inletLines.get(subject) ?? []).map(({ line }) =>
      memberKey(line.from.owner, line.from.member),
    ),
  ];
  return [...landed, ...(fed.length === 0 ? [] : [`Fed from ${fed.join(' and ')}.`])];
}

/** What a person saw there, beside what is computed. */
function seenOn(site: Site, subject: string): string[] {
  return site.observations
    .filter(({ record }) => record.subject === subject)
    .map(({ record: { seen, on } }) => {
      const day = on === undefined ? '' : ` on ${on}`;
      switch (seen.how) {
        case 'finds':
          return `Seen${day}: it found ${seen.count}.`;
        case 'misses':
          return `Seen${day}: it missed ${seen.device}.`;
        case 'measures':
          return `Measured${day}: ${formatNumber(seen.value)} ${seen.unit}.`;
        case 'page-opens':
          return `Seen${day}: its page opened.`;
        case 'page-fails':
          return `Seen${day}: its page failed, "${escapeMarkdown(seen.text)}".`;
      }
    });
}

/** Waivers in force on a subject. */
function waiversOf(checked: CheckedSite, subject: string): string[] {
  return checked.findings.flatMap(({ finding }) => {
    const { waived } = finding;
    const concerns = finding.subject === subject || finding.at.declaration === subject;
    if (!concerns || waived === null) {
      return [];
    }
    const upTo =
      waived.upTo === null ? '' : ` up to ${formatNumber(waived.upTo.value)} ${waived.upTo.unit}`;
    const until = waived.until === null ? '' : `, until ${waived.until}`;
    return [
      `Accepted${upTo}: ${finding.rule}, because ${escapeMarkdown(waived.because)}${until}. ${escapeMarkdown(finding.what)}`,
    ];
  });
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
  return `${fact.fact}: ${value}${unit}${limit}${margin} (${basisText(fact)})`;
}

/** Where a value came from; for a computed one, what in it is less than stated. */
function basisText(fact: Fact): string {
  if (fact.basis !== 'computed') {
    return fact.basis;
  }
  const weak = (['estimated', 'assumed', 'unknown'] as const).flatMap((basis) => {
    const names = fact.terms.filter((term) => term.basis === basis).map((term) => term.name);
    return names.length === 0
      ? []
      : [`${basis}: ${names.length > 3 ? `${names.length} terms` : names.join(', ')}`];
  });
  return ['computed', ...weak.map((text) => escapeMarkdown(text))].join('; ');
}

function escapeMarkdown(text: string): string {
  return text.replaceAll(/[\\`*_{}[\]<>#|!]/gu, String.raw`\$&`);
}
