/** Two versions of a library → what changed, and how far the version must step at least. */
import { gte, inc, lt, parse, valid } from 'semver';
import type { BusType, Cable, Equipment } from '../../model/equipment.js';
import type { Assembly } from '../../model/records.js';
import { changesIn, heaviest, isSame, type Judges, type Step } from './judges.js';
import {
  busTypeJudges,
  cableJudges,
  equipmentJudges,
  inletJudges,
  lanJudges,
  outletJudges,
  portJudges,
  stepOfNewPart,
  supervisesJudges,
} from './template-judges.js';

export type Template = BusType | Cable | Equipment | Assembly;

/** What whoever uses a library can rely on. */
export interface LibraryInterface {
  readonly version: string;
  readonly language: string | undefined;
  /** What a bare `use` of it brings. */
  readonly templates: readonly Template[];
  /** Its files, which a `use` line can name one by one. */
  readonly files: readonly string[];
}

export interface Reason {
  readonly step: Step;
  /** Such as "equipment ZoneController, port field". */
  readonly subject: string;
  /** Such as "terminals: CA, CB → CB, CA". */
  readonly what: string;
}

/** Heaviest first, then by subject. */
export function reasonsBetween(
  before: LibraryInterface,
  after: LibraryInterface,
): readonly Reason[] {
  const reasons: Reason[] = [];
  const add = (step: Step, subject: string, what: string) => reasons.push({ step, subject, what });
  const key = ({ kind, name }: Template) => `${KINDS[kind]} ${name}`;
  const old = new Map(before.templates.map((one) => [key(one), one]));
  const now = new Map(after.templates.map((one) => [key(one), one]));
  for (const [subject, template] of old) {
    const next = now.get(subject);
    if (next === undefined) {
      add('major', subject, 'removed');
    } else {
      reasons.push(...templateReasons(subject, template, next));
    }
  }
  for (const subject of now.keys()) {
    if (!old.has(subject)) {
      add('minor', subject, 'added');
    }
  }
  before.files
    .filter((file) => !after.files.includes(file))
    .forEach((file) => add('major', `file ${file}`, 'removed'));
  if ((before.language ?? '') !== (after.language ?? '')) {
    add('major', 'language', `${told(before.language)} → ${told(after.language)}`);
  }
  const rank: Readonly<Record<Step, number>> = { major: 0, minor: 1, patch: 2 };
  return reasons.sort(
    (one, other) =>
      rank[one.step] - rank[other.step] ||
      (one.subject < other.subject ? -1 : one.subject > other.subject ? 1 : 0),
  );
}

/** The least step; undefined where nothing changed that a reader of texts sees. */
export function leastStep(reasons: readonly Reason[]): Step | undefined {
  return heaviest(reasons.map(({ step }) => step));
}

/**
 * The least version for a step. Below 1.0.0 the second number counts as the first does above, as
 * package managers read it.
 */
export function leastVersion(version: string, step: Step): string | undefined {
  const known = parse(version);
  if (known === null) {
    return undefined;
  }
  const lower: Readonly<Record<Step, Step>> = { major: 'minor', minor: 'patch', patch: 'patch' };
  return inc(known, known.major === 0 ? lower[step] : step) ?? undefined;
}

/** Whether a claimed version steps far enough; undefined where one of the two is no version. */
export function claimsEnough(
  before: string,
  claimed: string,
  step: Step | undefined,
): boolean | undefined {
  if (valid(before) === null || valid(claimed) === null) {
    return undefined;
  }
  return step === undefined ? !lt(claimed, before) : gte(claimed, leastVersion(before, step)!);
}

const KINDS = {
  bustype: 'bus type',
  cable: 'cable',
  equipment: 'equipment',
  assembly: 'assembly',
} as const;

function templateReasons(subject: string, before: Template, after: Template): readonly Reason[] {
  if (before.kind === 'equipment' && after.kind === 'equipment') {
    const list = <Part extends object>(
      kind: string,
      judges: Judges<Part>,
      of: (equipment: Equipment) => readonly Part[],
      nameOf: (part: Part) => string,
    ) => partReasons({ subject, kind, judges, nameOf }, of(before), of(after));
    const byName = ({ name }: { readonly name: string }) => name;
    return [
      ...fieldReasons(subject, equipmentJudges, before, after),
      ...list('inlet', inletJudges, ({ inlets }) => inlets, byName),
      ...list('outlet', outletJudges, ({ outlets }) => outlets, byName),
      ...list('port', portJudges, ({ ports }) => ports, byName),
      ...list('network socket', lanJudges, ({ lans }) => lans, byName),
      ...list(
        'supervision of',
        supervisesJudges,
        ({ supervises }) => supervises,
        ({ role, port }) => `${role} via ${port}`,
      ),
    ];
  }
  if (before.kind === 'bustype' && after.kind === 'bustype') {
    return fieldReasons(subject, busTypeJudges, before, after);
  }
  if (before.kind === 'cable' && after.kind === 'cable') {
    return fieldReasons(subject, cableJudges, before, after);
  }
  return assemblyReasons(subject, before, after);
}

/** What stands inside an assembly is on every site that has one, so any change of it may be felt. */
function assemblyReasons(subject: string, before: Template, after: Template): readonly Reason[] {
  const words = ({ title, doc }: Template) => ({ title, doc });
  const inner = (one: Template) => ({ ...one, title: undefined, doc: undefined });
  return [
    ...(isSame(inner(before), inner(after))
      ? []
      : [{ step: 'major' as const, subject, what: 'what it consists of changed' }]),
    ...(isSame(words(before), words(after))
      ? []
      : [{ step: 'patch' as const, subject, what: 'its words changed' }]),
  ];
}

function partReasons<Part extends object>(
  {
    subject,
    kind,
    judges,
    nameOf,
  }: {
    readonly subject: string;
    readonly kind: string;
    readonly judges: Judges<Part>;
    readonly nameOf: (part: Part) => string;
  },
  before: readonly Part[],
  after: readonly Part[],
): readonly Reason[] {
  const now = new Map(after.map((part) => [nameOf(part), part]));
  const old = new Set(before.map(nameOf));
  return [
    ...before.flatMap((part) => {
      const own = `${subject}, ${kind} ${nameOf(part)}`;
      const next = now.get(nameOf(part));
      return next === undefined
        ? [{ step: 'major' as const, subject: own, what: 'removed' }]
        : fieldReasons(own, judges, part, next);
    }),
    ...after
      .filter((part) => !old.has(nameOf(part)))
      .map((part) => ({
        step: stepOfNewPart(kind, part),
        subject: `${subject}, ${kind} ${nameOf(part)}`,
        what: 'added',
      })),
  ];
}

function fieldReasons<Item extends object>(
  subject: string,
  judges: Judges<Item>,
  before: Item,
  after: Item,
): readonly Reason[] {
  return changesIn(judges, before, after).map((change) => ({
    step: change.step,
    subject,
    what: `${wordsOf(change.field)}: ${told(change.before)} → ${told(change.after)}`,
  }));
}

/** A field's name as words: `tolerancePercent` → "tolerance percent". */
function wordsOf(field: string): string {
  return field.replace(/[A-Z]+/gu, (letters) =>
    letters.length > 1 ? ` ${letters}` : ` ${letters.toLowerCase()}`,
  );
}

function told(value: unknown): string {
  if (value === undefined) {
    return 'not stated';
  }
  if (typeof value === 'boolean') {
    return value ? 'yes' : 'no';
  }
  if (Array.isArray(value)) {
    return value.length === 0
      ? 'none'
      : value.map((one) => (typeof one === 'object' ? told(one) : String(one))).join(', ');
  }
  return typeof value === 'object' && value !== null
    ? Object.entries(value)
        .map(([name, one]) => `${wordsOf(name)} ${told(one)}`)
        .join(' ')
    : String(value);
}
