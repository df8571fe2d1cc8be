/**
 * The bridge to the rules: what is wrong with a site, from the text's own problems to the rules'
 * findings. Everything is a {@link Finding} from here on.
 */
import type { Finding, Fix } from '../model/finding.js';
import { placeOf, type DeclarationId } from '../model/origin.js';
import type { Declaration } from '../model/records.js';
import type { Site } from '../model/site.js';
import { acceptFix, contextOf, evaluate, fixesOf, isAcceptable } from '../rules/evaluate.js';
import { RAISED_RULES } from '../rules/raised.js';
import type { LoweredPiece } from './lower.js';
import type { PieceProblem } from './problem.js';
import { kindName, resolveName } from './resolve.js';
import type { NameReference } from './reference.js';
import { texts } from './texts.js';

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

/** Every finding of a site, in order. */
export function validate(
  site: Site,
  pieces: readonly KeyedPiece[],
  options: ValidateOptions,
): readonly Finding[] {
  const raised = [
    ...options.opening,
    ...textFindings(pieces),
    ...duplicateFindings(site),
    ...nameFindings(site, pieces),
    ...shadowFindings(site),
    ...unexpandedFindings(site),
  ];
  return evaluate(site, { on: options.on, isOwn: options.isOwn, raised });
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
          edits: [{ kind: 'replace-value', at: finding.at, text: problem.replacement.text }],
        },
      ];
}

/** The fixes that a finding's rule knows, and for an unknown name the one that was probably meant. */
export function ruleFixes(
  site: Site,
  pieces: readonly KeyedPiece[],
  finding: Finding,
): readonly Fix[] {
  if (finding.rule !== 'name-unknown') {
    return fixesOf(site, finding);
  }
  const index = /^reference\/(\d+)$/u.exec(finding.at.part)?.[1];
  if (index === undefined) {
    return fixesOf(site, finding);
  }
  const piece = pieces.find((one) => one.ids.includes(finding.at.declaration));
  const position = piece?.ids.indexOf(finding.at.declaration) ?? -1;
  const reference = piece?.lowered.declarations[position]?.references[Number(index)];
  const resolution = reference && resolveName(site, reference, new Set());
  return resolution?.kind === 'unknown' && resolution.meant !== undefined
    ? [
        {
          title: texts.changeTo(resolution.meant),
          kind: 'wiring',
          edits: [{ kind: 'replace-value', at: finding.at, text: resolution.meant }],
        },
      ]
    : [];
}

/** The fix that accepts a finding; undefined where it can never be accepted. */
export function acceptFixFor(finding: Finding, because: string, until: string): Fix | undefined {
  return isAcceptable(finding.rule) ? acceptFix(finding, because, until) : undefined;
}

/** Names that stand second in damaged declarations: what refers to them is not reported too. */
export function brokenNames(pieces: readonly KeyedPiece[]): ReadonlySet<string> {
  const names = new Set<string>();
  for (const { text, lowered } of pieces) {
    if (lowered.problems.length === 0 || lowered.declarations.length > 0) {
      continue;
    }
    const name = /^[ \t]*[\p{L}-]+[ \t]+([\p{L}][\p{L}\d_-]*)/mu.exec(text)?.[1];
    if (name !== undefined) {
      names.add(name);
    }
  }
  return names;
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

function nameFindings(site: Site, pieces: readonly KeyedPiece[]): Finding[] {
  const broken = brokenNames(pieces);
  const findings: Finding[] = [];
  for (const piece of pieces) {
    piece.lowered.declarations.forEach((declaration, position) => {
      const id = piece.ids[position]!;
      declaration.references.forEach((reference, index) => {
        const resolution = resolveName(site, reference, broken);
        if (resolution.kind === 'unknown') {
          findings.push(
            raisedFinding('name-unknown', fullName(reference), {
              at: placeOf(id, referencePart(index)),
              what: resolution.what,
              why: '',
              remedy: resolution.remedy,
            }),
          );
        }
      });
    });
  }
  return findings;
}

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
    assembly.innerNames.forEach((name) => report(name, assembly.name, 'name', 'inner name'));
  }
  return findings;
}

/** Assemblies and variants are read but not expanded yet, and a site must not look checked where it is not. */
function unexpandedFindings(site: Site): Finding[] {
  const findings: Finding[] = [];
  for (const device of site.devices.values()) {
    if (site.assemblies.has(device.equipment)) {
      findings.push(
        raisedFinding('template-unexpanded', device.name, {
          at: placeOf(device.name, 'equipment'),
          what: `${device.name} is an instance of the assembly ${device.equipment}, and assemblies are not expanded yet.`,
          why: 'What is inside it is neither checked nor drawn nor ordered.',
          remedy: 'Write its devices and buses out for now.',
        }),
      );
    }
  }
  for (const equipment of site.equipment.values()) {
    if (equipment.extends !== undefined) {
      findings.push(
        raisedFinding('template-unexpanded', equipment.name, {
          at: placeOf(equipment.name, 'extends'),
          what: `${equipment.name} is a variant of ${equipment.extends}, and variants are not expanded yet.`,
          why: 'Only what it states itself is checked.',
          remedy: 'Write all its facts out for now.',
        }),
      );
    }
  }
  return findings;
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
