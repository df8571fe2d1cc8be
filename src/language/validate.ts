/**
 * The bridge to the rules: what is wrong with a site, from the text's own problems to the rules'
 * findings. Everything is a {@link Finding} from here on.
 */
import type { Damage } from '../model/damage.js';
import type { Equipment } from '../model/equipment.js';
import type { Finding, Fix } from '../model/finding.js';
import { placeOf, type DeclarationId, type Place } from '../model/origin.js';
import type { Declaration, Instance } from '../model/records.js';
import type { Site } from '../model/site.js';
import { acceptFix, contextOf, evaluate, fixesOf, isAcceptable } from '../rules/evaluate.js';
import { RAISED_RULES } from '../rules/raised.js';
import { MOST_PARTS } from './expand.js';
import type { LoweredPiece } from './lower.js';
import type { PieceProblem } from './problem.js';
import { causeOf, kindName, resolveName, type Resolution } from './resolve.js';
import type { NameReference } from './reference.js';
import { texts } from './texts.js';
import { damageOf, NOTHING_UNREAD, unreadOf, type UnknownName, type Unread } from './unread.js';

/** A piece with the keys of the declarations in it; a piece without any has a key of its own. */
export interface KeyedPiece {
  readonly text: string;
  readonly lowered: LoweredPiece;
  readonly ids: readonly DeclarationId[];
  /** The key for problems that belong to no declaration. */
  readonly ownId: DeclarationId;
}

export interface ValidateOptions {
  readonly on: string;
  readonly isOwn: (declaration: DeclarationId) => boolean;
  /** What opening the files found: missing files, cycles. */
  readonly opening: readonly Finding[];
}

/** Every finding of a site that never changes, in order. */
export function validate(
  site: Site,
  pieces: readonly KeyedPiece[],
  options: ValidateOptions,
): readonly Finding[] {
  const unread = unreadOf(pieces, options.opening);
  const unknown = unknownNames(site, pieces, unread);
  const damage = damageOf(site, pieces, unknown, unread);
  const raised = raisedFindings(site, { ...options, pieces, unknown, damage });
  return evaluate(site, { on: options.on, isOwn: options.isOwn, raised, damage });
}

/** What the language finds wrong with a site. */
export function raisedFindings(
  site: Site,
  {
    opening,
    pieces,
    unknown,
    damage,
  }: {
    readonly opening: readonly Finding[];
    /** Those at least that have a problem. */
    readonly pieces: readonly KeyedPiece[];
    readonly unknown: readonly LocatedUnknown[];
    readonly damage: Damage;
  },
): readonly Finding[] {
  const isWhole = damage.hurt.size === 0 && damage.lost.length === 0;
  return [
    // A name that stands for nothing may be meant for what a file brings.
    ...opening.filter(({ rule }) => isWhole || rule !== 'import-unused'),
    ...textFindings(pieces),
    ...duplicateFindings(site),
    ...nameFindings(unknown),
    ...shadowFindings(site),
    ...expansionFindings(site),
  ];
}

/** The context in which one rule is run on its own. */
export function ruleContext(options: Pick<ValidateOptions, 'on' | 'isOwn'>) {
  return contextOf(options);
}

/** The part of a piece's origins under which a problem's place is kept. */
export function problemPart(index: number): string {
  return `problem/${index}`;
}

/** The part under which a name's place is kept. */
export function referencePart(index: number): string {
  return `reference/${index}`;
}

/** Behind a problem's part: the place at which its replacement belongs. */
const elsewhere = '/replacement';

/** Where a part of a piece's problems stands; undefined where there is none. Offsets count from the piece's start. */
export function problemSpan(
  problems: readonly PieceProblem[],
  partPath: string,
): { readonly start: number; readonly end: number } | undefined {
  const index = problems.findIndex(
    (_, position) =>
      problemPart(position) === partPath || problemPart(position) + elsewhere === partPath,
  );
  const problem = problems[index];
  return partPath.endsWith(elsewhere) ? problem?.replacement?.at : problem;
}

/** The fix that a problem of the text carries in itself. */
export function replacementFix(
  finding: Finding,
  problem: PieceProblem | undefined,
): readonly Fix[] {
  return problem?.replacement === undefined
    ? []
    : [
        {
          title: problem.replacement.title,
          kind: 'wiring',
          edits: [
            {
              kind: 'replace-value',
              at:
                problem.replacement.at === undefined
                  ? finding.at
                  : placeOf(finding.at.declaration, `${finding.at.part}${elsewhere}`),
              text: problem.replacement.text,
            },
          ],
        },
      ];
}

/** The fixes that a finding's rule knows, and for an unknown name the one that was probably meant. */
export function ruleFixes(
  site: Site,
  pieces: readonly KeyedPiece[],
  finding: Finding,
): readonly Fix[] {
  switch (finding.rule) {
    case 'name-unknown':
      return unknownNameFixes(site, pieces, finding);
    case 'name-duplicate':
      return duplicateFixes(site, pieces, finding);
    case 'import-cycle':
    case 'import-unused':
      return [removeUse(finding)];
    case 'import-missing':
    case 'package-missing':
      return nearFileFixes(finding);
    default:
      return fixesOf(site, finding);
  }
}

/** The fact by which a finding about a missing file tells the paths that resemble it. */
export const NEAR_FILES = 'near-files';

function nearFileFixes(finding: Finding): readonly Fix[] {
  const near = finding.facts.find(({ fact }) => fact === NEAR_FILES)?.value;
  return Array.isArray(near)
    ? near.map((path: string) => ({
        title: texts.changeTo(path),
        kind: 'wiring',
        edits: [{ kind: 'replace-value', at: finding.at, text: `"${path}"` }],
      }))
    : [];
}

function removeUse({ rule, at }: Finding): Fix {
  return {
    title: texts.removeLine,
    // A file that nothing needs changes nothing; a file of a circle is used elsewhere, and a person should look.
    kind: rule === 'import-unused' ? 'safe' : 'wiring',
    edits: [{ kind: 'remove-statement', at: placeOf(at.declaration, '') }],
  };
}

/** The same text twice needs to stand once; another thing needs another name, the next that is free. */
function duplicateFixes(
  site: Site,
  pieces: readonly KeyedPiece[],
  finding: Finding,
): readonly Fix[] {
  const clash = site.duplicates.find(({ again }) => again.id === finding.at.declaration);
  if (clash === undefined) {
    return fixesOf(site, finding);
  }
  const textOf = (id: DeclarationId) => pieces.find(({ ids }) => ids.includes(id))?.text.trim();
  const isSame = textOf(clash.first.id) === textOf(clash.again.id);
  const free = nextFreeName(clash.name, (name) => site.byName.has(name));
  return [
    ...(isSame
      ? [
          {
            title: texts.removeSecond,
            kind: 'wiring' as const,
            edits: [{ kind: 'remove-statement' as const, at: placeOf(clash.again.id, '') }],
          },
        ]
      : []),
    {
      title: texts.renameTo(free),
      kind: 'wiring',
      edits: [{ kind: 'replace-value', at: finding.at, text: free }],
    },
  ];
}

/** The name with the next number that is free, written as wide as its own: after FC-1-03 comes FC-1-04. */
function nextFreeName(name: string, isTaken: (name: string) => boolean): string {
  const [, stem = name, digits] = /^(.*?)(\d+)$/u.exec(name) ?? [];
  for (let number = Number(digits ?? 1) + 1; ; number++) {
    const free =
      digits === undefined
        ? `${name}-${number}`
        : stem + String(number).padStart(digits.length, '0');
    if (!isTaken(free)) {
      return free;
    }
  }
}

function unknownNameFixes(
  site: Site,
  pieces: readonly KeyedPiece[],
  finding: Finding,
): readonly Fix[] {
  const unknown = unknownNames(site, pieces, NOTHING_UNREAD);
  const own = unknown.find(
    ({ at }) => at.declaration === finding.at.declaration && at.part === finding.at.part,
  );
  if (own === undefined) {
    return fixesOf(site, finding);
  }
  const { meant } = own.resolution;
  const all = unknown.filter(({ cause }) => cause === own.cause);
  return meant === undefined
    ? []
    : [
        {
          title: texts.changeNameTo(meant, all.length),
          kind: 'wiring',
          edits: all.map(({ at }) => ({ kind: 'replace-value', at, text: meant })),
        },
      ];
}

/** The fix that accepts a finding; undefined where it can never be accepted. */
export function acceptFixFor(finding: Finding, because: string, until: string): Fix | undefined {
  return isAcceptable(finding.rule) ? acceptFix(finding, because, until) : undefined;
}

function textFindings(pieces: readonly KeyedPiece[]): Finding[] {
  return pieces.flatMap(({ lowered, ownId, ids }) =>
    lowered.problems.map((problem, index) =>
      raisedFinding(problem.rule, ids[0] ?? '', {
        at: placeOf(ownId, problemPart(index)),
        what: problem.what,
        why: problem.why,
        remedy: problem.remedy,
      }),
    ),
  );
}

function duplicateFindings(site: Site): Finding[] {
  return site.duplicates.map(({ name, first, again }) =>
    raisedFinding('name-duplicate', name, {
      at: placeOf(again.id),
      what: `The name "${name}" is already taken by ${kindName(first.record.kind)}.`,
      why: 'Names at the start of a line share one list in a site, and only the first of them counts.',
      remedy: 'Give one of the two another name.',
      related: [{ at: placeOf(first.id), message: `"${name}" is declared here first.` }],
    }),
  );
}

/** A name that stands for nothing, and where. */
export interface LocatedUnknown extends UnknownName {
  readonly at: Place;
  readonly resolution: Resolution & { readonly kind: 'unknown' };
  /** Equal for names that stand for nothing for the same reason. */
  readonly cause: string;
}

function unknownNames(
  site: Site,
  pieces: readonly KeyedPiece[],
  unread: Unread,
): readonly LocatedUnknown[] {
  return pieces.flatMap((piece) => unknownNamesIn(site, piece, unread));
}

/** The names in a piece that stand for nothing. */
export function unknownNamesIn(
  site: Site,
  { text, lowered, ids }: KeyedPiece,
  unread: Unread,
): readonly LocatedUnknown[] {
  // A name in a line with a slip may be the slip, or what is left of a longer one.
  const isSaid = linesSaid(text, lowered.problems);
  return lowered.declarations.flatMap((lowering, position) =>
    lowering.references.flatMap((reference, index): LocatedUnknown[] => {
      const resolution = resolveName(site, reference, unread);
      if (resolution.kind !== 'unknown' || isSaid(reference.start)) {
        return [];
      }
      return [
        {
          declaration: ids[position]!,
          lowering,
          reference,
          isMissing: resolution.isMissing,
          at: placeOf(ids[position]!, referencePart(index)),
          resolution,
          cause: causeOf(site, reference, resolution),
        },
      ];
    }),
  );
}

/** Whether the line of an offset has a problem by which a part of it was not read. */
function linesSaid(text: string, problems: readonly PieceProblem[]): (offset: number) => boolean {
  const lineStart = (offset: number) => text.lastIndexOf('\n', offset - 1) + 1;
  const said = new Set(
    problems
      .filter(({ rule, understood }) => rule === 'syntax-error' && understood !== true)
      .map(({ start }) => lineStart(start)),
  );
  return (offset) => said.size > 0 && said.has(lineStart(offset));
}

/** One finding a cause, at the first place that names it: one declaration mends them all. */
function nameFindings(unknown: readonly LocatedUnknown[]): Finding[] {
  const byCause = new Map<string, LocatedUnknown[]>();
  for (const one of unknown) {
    const known = byCause.get(one.cause);
    if (known === undefined) {
      byCause.set(one.cause, [one]);
    } else {
      known.push(one);
    }
  }
  return [...byCause.values()].map(([first, ...others]) =>
    raisedFinding('name-unknown', fullName(first!.reference), {
      at: first!.at,
      what: first!.resolution.what,
      why: others.length === 0 ? '' : texts.namedAgain(others.length),
      remedy: first!.resolution.remedy,
      related: others.slice(0, mostRelated).map(({ at, reference }) => ({
        at,
        message: texts.namedHere(fullName(reference)),
      })),
    }),
  );
}

/** More places than this are counted and not listed. */
const mostRelated = 50;

function shadowFindings(site: Site): Finding[] {
  const findings: Finding[] = [];
  const report = (name: string, declaration: string, part: string, what: string) => {
    const other = site.byName.get(name);
    if (other !== undefined) {
      findings.push(
        raisedFinding('name-shadowed', name, {
          at: placeOf(declaration, part),
          what: `The ${what} "${name}" has the same name as ${kindName(other.record.kind)}.`,
          why: 'A reader cannot tell which of the two a line means.',
          remedy: 'Give one of the two another name.',
          related: [{ at: placeOf(other.id), message: `${kindName(other.record.kind)} "${name}"` }],
        }),
      );
    }
  };
  for (const area of site.areas.values()) {
    area.rooms.forEach((room) => report(room.name, area.name, `room/${room.name}/name`, 'room'));
  }
  for (const assembly of site.assemblies.values()) {
    assembly.parts.forEach(({ name }) => {
      report(name, assembly.name, `part/${name}/name`, 'inner name');
    });
  }
  return findings;
}

/** Templates that contain themselves, and instances that come to more than any building has. */
function expansionFindings(site: Site): Finding[] {
  const findings: Finding[] = [];
  for (const assembly of site.assemblies.values()) {
    const inner = assembly.parts.find(
      (part) => part.kind === 'device' && leadsTo(site, part.equipment, assembly.name),
    );
    if (inner !== undefined) {
      findings.push(
        raisedFinding('template-recursive', assembly.name, {
          at: placeOf(assembly.name, `part/${inner.name}/equipment`),
          what: `${assembly.name} contains itself by way of ${inner.name}.`,
          why: 'It would never come to an end, so none of its instances is expanded.',
          remedy: 'Put another piece of equipment or another assembly there.',
        }),
      );
    }
  }
  for (const equipment of site.equipment.values()) {
    if (equipment.extends !== undefined && extendsItself(site, equipment)) {
      findings.push(
        raisedFinding('template-recursive', equipment.name, {
          at: placeOf(equipment.name, 'extends'),
          what: `${equipment.name} extends itself, directly or by way of others.`,
          why: 'It cannot be told what it takes over, so only what it states itself is checked.',
          remedy: 'Extend a piece of equipment that does not extend this one.',
        }),
      );
    }
  }
  for (const instance of site.instances.values()) {
    findings.push(...unreachedFindings(site, instance));
  }
  const unexpanded = [...site.instances.values()].filter(
    ({ unexpandedParts }) => unexpandedParts !== undefined && Number.isFinite(unexpandedParts),
  );
  for (const { name, assembly, unexpandedParts } of unexpanded) {
    findings.push(
      raisedFinding('assembly-too-large', name, {
        at: placeOf(name, 'equipment'),
        what: `${name} is an instance of ${assembly}, which comes to ${unexpandedParts ?? 0} parts; a site may have ${MOST_PARTS} in all its instances.`,
        why: 'What is inside it is neither checked nor drawn nor ordered.',
        remedy: `Look for a number too many in ${assembly} and what it contains, or divide the site.`,
      }),
    );
  }
  return findings;
}

/** Lines of an instance that would change nothing, though whoever wrote them expects that they do. */
function unreachedFindings(site: Site, { name, assembly, unreached = [] }: Instance): Finding[] {
  const exposed = (site.assemblies.get(assembly)?.exposes ?? []).map((one) => one.name);
  return unreached.map((part) =>
    raisedFinding('name-unknown', name, {
      at: placeOf(name, part),
      ...(part === 'main'
        ? {
            what: `${name} is an instance of ${assembly}, and no instance is a main controller.`,
            why: 'The word reaches none of the devices in it.',
            remedy: `Write main at the controller in ${assembly}.`,
          }
        : {
            what: `An address of ${name} names no port, and ${name} is an instance of ${assembly}.`,
            why: 'An instance has no address of its own, so the line reaches none of the devices in it.',
            remedy:
              exposed.length === 0
                ? `Expose a port in ${assembly}, and write "on" and its name behind the address.`
                : `Write "on" and the name of a port behind it; ${assembly} exposes ${exposed.join(', ')}.`,
          }),
    }),
  );
}

/** Whether an assembly is or contains another. */
function leadsTo(site: Site, from: string, to: string): boolean {
  const seen = new Set<string>();
  const waiting = [from];
  for (let name = waiting.pop(); name !== undefined; name = waiting.pop()) {
    if (name === to) {
      return true;
    }
    if (!seen.has(name)) {
      seen.add(name);
      for (const part of site.assemblies.get(name)?.parts ?? []) {
        if (part.kind === 'device') {
          waiting.push(part.equipment);
        }
      }
    }
  }
  return false;
}

function extendsItself(site: Site, { name, extends: base }: Equipment): boolean {
  const seen = new Set<string>();
  let next = base;
  while (next !== undefined && next !== name && !seen.has(next)) {
    seen.add(next);
    next = site.equipment.get(next)?.extends;
  }
  return next === name;
}

/** A finding that the language raises. */
export function raisedFinding(
  rule: string,
  subject: string,
  said: Pick<Finding, 'at' | 'what' | 'why' | 'remedy'> & Partial<Pick<Finding, 'related'>>,
): Finding {
  const facts = RAISED_RULES.find((one) => one.name === rule);
  return {
    rule,
    severity: facts?.severity ?? 'error',
    subject,
    related: [],
    facts: [],
    waived: null,
    ...said,
  };
}

/** The dotted text of a name with its owner. */
export function fullName(reference: NameReference): string {
  return reference.owner === undefined ? reference.name : `${reference.owner}.${reference.name}`;
}

/** The key under which a record's declaration is kept before clashes are resolved. */
export function keyOf(record: Declaration): DeclarationId {
  switch (record.kind) {
    case 'use':
      return `use ${record.path}`;
    case 'accept':
      return `accept ${record.rule} on ${record.on}`;
    case 'observed':
      return `observed ${record.subject}`;
    default:
      return record.name;
  }
}
