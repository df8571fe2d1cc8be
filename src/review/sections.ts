/** A review as headings with lines: the one order in which every form of it reads. */
import { CLASS_ORDER, type Change } from './changes.js';
import type { ChangedWork, Effect, MaterialChange, ReviewedFinding } from './consequences.js';
import type { Review } from './review.js';
import { texts } from './texts.js';

export interface ReviewSection {
  readonly heading: string;
  readonly lines: readonly string[];
}

/** What weighs most comes first; sections without a line are left out. */
export function sectionsOf(review: Review): readonly ReviewSection[] {
  const { changes, effects, findings, material, renames, work } = review;
  const sections: readonly ReviewSection[] = [
    { heading: texts.newFindings, lines: findings.fresh.map(findingLine) },
    { heading: texts.resolvedFindings, lines: findings.resolved.map(findingLine) },
    ...CLASS_ORDER.map((name) => ({
      heading: texts.classes[name],
      lines: changes.filter((one) => one.class === name).map(changeLine),
    })),
    {
      heading: texts.renames,
      lines: renames.map(({ kind, before, after, confidence }) =>
        texts.rename(kind, before, after, Math.round(100 * confidence)),
      ),
    },
    { heading: texts.work, lines: workLines(work) },
    { heading: texts.material, lines: material.map(materialLine) },
    { heading: texts.effects, lines: effects.map(effectLine) },
  ];
  return sections.filter(({ lines }) => lines.length > 0);
}

function changeLine({ how, kind, name, path, before, after }: Change): string {
  const what = [kind, name, ...path].join(' ');
  return how === 'changed'
    ? texts.changed(what, shown(before), shown(after))
    : path.length === 0
      ? texts[how](what)
      : texts.changed(what, shown(before), shown(after));
}

function findingLine({ severity, rule, what, accepted }: ReviewedFinding): string {
  return texts.finding(severity, rule, what, accepted);
}

function effectLine({ subject, fact, unit, before, after, limit, crossing, causes }: Effect) {
  const value = (one: Effect['before']) =>
    `${shown(one)}${unit === '' || typeof one !== 'number' ? '' : ` ${unit}`}`;
  const judged = limit === undefined || crossing === undefined ? '' : texts[crossing](value(limit));
  const why = causes.length === 0 ? '' : texts.because(causes);
  return `${texts.changed(`${subject}.${fact}`, value(before), value(after))}${judged}${why}`;
}

function materialLine({ what, name, unit, before, after }: MaterialChange): string {
  const of = what === 'reels' ? texts.reelsOf(name) : name;
  const amount = (value: number) => `${shown(value)}${unit === '' ? '' : ` ${unit}`}`;
  const sign = after > before ? '+' : '−';
  return `${texts.changed(of, amount(before), amount(after))} (${sign}${amount(Math.abs(after - before))})`;
}

function workLines(work: ChangedWork): readonly string[] {
  const { devices, removed, rooms, boards, isolate, unlockable } = work;
  if (devices.length + removed.length + boards.length === 0) {
    return [];
  }
  const unless = (names: readonly string[], line: (names: readonly string[]) => string) =>
    names.length === 0 ? [] : [line(names)];
  return [
    ...unless(unlockable, texts.unlockable),
    ...unless(isolate, texts.isolate),
    texts.prove,
    ...unless(boards, texts.boards),
    ...unless(devices, texts.open),
    ...unless(removed, texts.takeAway),
    ...unless(rooms, texts.rooms),
    texts.caution,
  ];
}

/** Numbers with four digits that count, as every page of ours has them; the rest as plain data. */
function shown(value: unknown): string {
  if (value === undefined || value === null) {
    return texts.none;
  }
  if (typeof value === 'number') {
    return String(Number(value.toPrecision(4)));
  }
  return typeof value === 'string' ? value : JSON.stringify(value);
}
