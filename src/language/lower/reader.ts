/**
 * Reads a syntax tree's properties into plain values, and notes what is wrong with them.
 *
 * Nothing here throws: a missing or wrong value is a problem and gives undefined, so that the rest of
 * the declaration still counts.
 */
import { nearNames } from '../../analysis/near-names.js';
import { GrammarUtils, type AstNode, type Reference } from 'langium';
import type {
  CurrentKind,
  ConductorSize,
  Dimension,
  UnitDefinition,
} from '../../model/quantity.js';
import { formatNumber, meantUnit, ratio, readQuantity, unitsFor } from '../../model/quantity.js';
import type { Voltage } from '../../model/equipment.js';
import type { DeclarationKind, ParameterValue } from '../../model/records.js';
import { isValueOf } from '../../model/values.js';
import type { Path } from '../generated/ast.js';
import type { PieceProblem } from '../problem.js';
import type { MemberKind, NameReference } from '../reference.js';
import { texts } from '../texts.js';

export interface Span {
  readonly start: number;
  readonly end: number;
}

/** A number with the unit it was written in. */
export interface Measure {
  readonly value: number;
  readonly dimension: Dimension;
  readonly currentKind?: CurrentKind;
  readonly unit: UnitDefinition;
}

/** Units that are offered when one is missing and there is one that nearly everybody means. */
const usualUnit: Readonly<Partial<Record<Dimension, string>>> = {
  length: 'm',
  area: 'mm2',
  current: 'A',
  resistance: 'ohm',
  ratio: '%',
  rate: 'baud',
  size: 'bytes',
  time: 's',
  temperature: 'C',
};

/** A slot that takes one of a table's values, for completion and hover. */
export interface ValueSlot extends Span {
  readonly slot: string;
  readonly values: Readonly<Record<string, string>>;
}

export class Reader {
  readonly slots: ValueSlot[] = [];
  readonly origins = new Map<string, Span>();
  readonly references: NameReference[] = [];
  readonly problems: PieceProblem[] = [];

  /** `parameters`: those of the assembly that is being read, by name. */
  constructor(readonly parameters: ReadonlyMap<string, ParameterValue> = new Map()) {}

  /** Takes over what another reader noted about a part of an assembly. */
  include(part: string, scope: string, inner: Reader): void {
    inner.origins.forEach((span, path) => this.origins.set(`part/${part}/${path}`, span));
    this.references.push(...inner.references.map((one) => ({ ...one, scope })));
    this.slots.push(...inner.slots);
    this.problems.push(...inner.problems);
  }

  /** Notes where a part stands: a whole node, or one of its properties. */
  mark(part: string, node: AstNode, property?: string, index?: number): void {
    const span = this.span(node, property, index);
    if (span !== undefined) {
      this.origins.set(part, span);
    }
  }

  markSpan(part: string, span: Span | undefined): void {
    if (span !== undefined) {
      this.origins.set(part, span);
    }
  }

  span(node: AstNode, property?: string, index?: number): Span | undefined {
    const cst =
      property === undefined
        ? node.$cstNode
        : GrammarUtils.findNodeForProperty(node.$cstNode, property, index);
    return cst === undefined ? undefined : { start: cst.offset, end: cst.end };
  }

  problem(problem: Omit<PieceProblem, 'start' | 'end'>, span: Span | undefined): void {
    if (span !== undefined) {
      this.problems.push({ ...problem, ...span });
    }
  }

  /** A text between quotes, without them. */
  text(value: string | undefined): string | undefined {
    return value === undefined
      ? undefined
      : value.replace(/^"/u, '').replace(/"$/u, '').replaceAll(/\\(.)/gu, '$1');
  }

  optionalText<Key extends string>(
    key: Key,
    value: string | undefined,
  ): Partial<Record<Key, string>> {
    const text = this.text(value);
    return text === undefined ? {} : ({ [key]: text } as Record<Key, string>);
  }

  labels(values: readonly string[]): string[] {
    return values.flatMap((value) =>
      value.startsWith('"') ? [this.text(value)!] : value.split(','),
    );
  }

  /** One of a table's values; what is none is a problem that names the nearest. */
  choice<Values extends Readonly<Record<string, string>>>(
    values: Values,
    slot: string,
    node: AstNode,
    property: string,
    written: string | undefined,
  ): (keyof Values & string) | undefined {
    if (written === undefined) {
      return undefined;
    }
    const span = this.span(node, property);
    if (span !== undefined) {
      this.slots.push({ ...span, slot, values });
    }
    if (isValueOf(values, written)) {
      return written;
    }
    const meant = nearNames(written, Object.keys(values), 1)[0];
    this.problem(
      {
        rule: 'name-unknown',
        ...texts.valueUnknown(written, slot, Object.keys(values), meant),
        ...(meant === undefined
          ? {}
          : { replacement: { title: texts.changeTo(meant), text: meant } }),
      },
      this.span(node, property),
    );
    return undefined;
  }

  /** A quantity of one dimension, in the model's unit. */
  number(
    node: AstNode,
    property: string,
    written: string | undefined,
    dimension: Dimension,
    index?: number,
  ): number | undefined {
    return this.measure(node, property, written, [dimension], index)?.value;
  }

  /** A plain number of 0 or more, whole. */
  count(
    node: AstNode,
    property: string,
    written: string | undefined,
    index?: number,
  ): number | undefined {
    const value = this.number(node, property, written, 'count', index);
    if (value !== undefined && (!Number.isInteger(value) || value < 0)) {
      this.problem(
        { rule: 'quantity-unit-mismatch', ...texts.wholeNumber(written!) },
        this.span(node, property, index),
      );
      return undefined;
    }
    return value;
  }

  voltage(
    node: AstNode,
    property: string,
    written: string | undefined,
    index?: number,
  ): Voltage | undefined {
    const measure = this.measure(node, property, written, ['voltage'], index);
    return measure === undefined
      ? undefined
      : {
          volts: measure.value,
          ...(measure.currentKind === undefined ? {} : { kind: measure.currentKind }),
        };
  }

  size(node: AstNode, property: string, written: string | undefined): ConductorSize | undefined {
    const measure = this.measure(node, property, written, ['area']);
    if (measure === undefined) {
      return undefined;
    }
    if (measure.unit.gauge !== true) {
      return { mm2: measure.value };
    }
    const { number, secondNumber } = readQuantity(written!);
    // 1/0 is gauge 0, 2/0 is gauge −1, and so on.
    return { awg: secondNumber === 0 ? 1 - number : number };
  }

  /** A quantity of one of several dimensions. Problems: missing, wrong or misspelled unit, decimal comma. */
  measure(
    node: AstNode,
    property: string,
    written: string | undefined,
    dimensions: readonly Dimension[],
    index?: number,
  ): Measure | undefined {
    if (written === undefined) {
      return undefined;
    }
    const quantity = readQuantity(written);
    const dimension = dimensions[0]!;
    const span = () => this.span(node, property, index);
    if (quantity.decimalComma) {
      const better = written.replaceAll(',', '.');
      this.problem(
        {
          rule: 'quantity-unit-mismatch',
          ...texts.decimalComma(written, better),
          understood: true,
          replacement: { title: texts.changeTo(better), text: better },
        },
        span(),
      );
    }
    const wantsCount = dimensions.includes('count');
    if (quantity.unit === undefined && quantity.writtenUnit === undefined) {
      if (wantsCount) {
        return {
          value: ratio(quantity),
          dimension: 'count',
          unit: { symbol: '', dimension: 'count', factor: 1 },
        };
      }
      const usual = dimensions.length === 1 ? usualUnit[dimension] : undefined;
      const units = dimensions.flatMap((one) => unitsFor(one)).map((unit) => unit.symbol);
      this.problem(
        {
          rule: 'quantity-unit-mismatch',
          ...texts.unitMissing(written, dimensions, usual === undefined ? units : [usual]),
          ...(usual === undefined
            ? {}
            : { replacement: { title: `Add the unit ${usual}`, text: `${written} ${usual}` } }),
        },
        span(),
      );
      return undefined;
    }
    let unit = quantity.unit;
    if (unit === undefined) {
      unit = meantUnit(quantity.writtenUnit!);
      const fits = unit !== undefined && dimensions.includes(unit.dimension);
      const better = fits ? `${formatWritten(written, quantity.writtenUnit!)} ${unit!.symbol}` : '';
      this.problem(
        fits
          ? {
              rule: 'quantity-unit-mismatch',
              ...texts.unitSpelled(written, better),
              understood: true,
              replacement: { title: texts.changeTo(better), text: better },
            }
          : {
              rule: 'quantity-unit-mismatch',
              ...(unit === undefined
                ? texts.unitUnknown(quantity.writtenUnit!, unitsOf(dimensions))
                : texts.unitWrong(written, dimensions, unitsOf(dimensions))),
            },
        span(),
      );
      if (!fits) {
        return undefined;
      }
    } else if (!dimensions.includes(unit.dimension)) {
      const bare = formatNumber(quantity.number, 6);
      this.problem(
        {
          rule: 'quantity-unit-mismatch',
          ...texts.unitWrong(written, dimensions, unitsOf(dimensions)),
          ...(wantsCount ? { replacement: { title: texts.changeTo(bare), text: bare } } : {}),
        },
        span(),
      );
      return undefined;
    }
    return {
      value: scaled(quantity.number, unit!),
      dimension: unit!.dimension,
      unit: unit!,
      ...(unit!.currentKind === undefined ? {} : { currentKind: unit!.currentKind }),
    };
  }

  date(node: AstNode, property: string, written: string | undefined): string | undefined {
    if (written === undefined || isDate(written)) {
      return written;
    }
    this.problem({ rule: 'syntax-error', ...texts.dateWrong(written) }, this.span(node, property));
    return undefined;
  }

  /** An IPv4 address, with or without a prefix as asked; given as written. */
  address(
    node: AstNode,
    property: string,
    written: string | undefined,
    form: 'host' | 'prefixed',
  ): string | undefined {
    if (written === undefined || isAddress(written, form)) {
      return written;
    }
    this.problem(
      {
        rule: 'syntax-error',
        ...texts.addressWrong(written, form === 'host' ? '10.40.8.20' : '10.40.8.0/24'),
      },
      this.span(node, property),
    );
    return undefined;
  }

  /** Notes a name that is used, and gives it as text. */
  reference(
    reference: Reference | undefined,
    wants: readonly (DeclarationKind | MemberKind)[],
    owner?: string,
    then?: string,
  ): string | undefined {
    const name = reference?.$refText;
    if (name === undefined || name === '') {
      return undefined;
    }
    const cst = reference!.$refNode;
    if (cst !== undefined) {
      this.references.push({
        start: cst.offset,
        end: cst.end,
        name,
        wants,
        ...(owner === undefined ? {} : { owner }),
        ...(then === undefined ? {} : { then }),
      });
    }
    return name;
  }

  /** A path of two steps or more: its owner and its member. */
  member(
    path: Path | undefined,
    ownerKinds: readonly DeclarationKind[],
    memberKinds: readonly MemberKind[],
    example: string,
  ): { owner: string; member: string } | undefined {
    const steps = path?.steps ?? [];
    const names = steps
      .map((step) => step.$refText)
      .filter((name) => name !== undefined && name !== '');
    if (path === undefined || names.length === 0) {
      return undefined;
    }
    this.reference(steps[0], ownerKinds, undefined, names[1]);
    if (names.length < 2 || names.length !== steps.length) {
      this.problem(
        {
          rule: 'syntax-error',
          ...texts.notHere(
            `"${names[0]}" alone does not say which terminals.`,
            `Write both names with a dot, as in ${example}.`,
          ),
        },
        this.span(path),
      );
      return undefined;
    }
    const owner = names.slice(0, -1).join('.');
    for (let index = 1; index < names.length; index++) {
      const wants = index < steps.length - 1 ? (['part'] as const) : memberKinds;
      this.reference(steps[index], wants, names.slice(0, index).join('.'));
    }
    return { owner, member: names[names.length - 1]! };
  }

  /** A path to a room: `Plant` or `Level1.Plant`. */
  room(path: Path | undefined): string | undefined {
    const steps = path?.steps ?? [];
    if (steps.length === 1) {
      return this.reference(steps[0], ['room']);
    }
    if (steps.length === 2) {
      const area = this.reference(steps[0], ['area']);
      const room = this.reference(steps[1], ['room'], area);
      return area === undefined || room === undefined ? undefined : `${area}.${room}`;
    }
    return undefined;
  }

  /** A path to anything that has a name, as dotted text. */
  anything(path: Path | undefined): string | undefined {
    const steps = path?.steps ?? [];
    const names = steps.map((step) => step.$refText ?? '');
    if (names.length === 0 || names.includes('')) {
      return undefined;
    }
    this.reference(steps[0], []);
    for (let index = 1; index < steps.length; index++) {
      this.reference(steps[index], [], names.slice(0, index).join('.'));
    }
    return names.join('.');
  }
}

/** Leaves keys with undefined values out, so that records compare by value. */
export function defined<Shape extends object>(
  shape: Shape,
): { [Key in keyof Shape]: Exclude<Shape[Key], undefined> } {
  return Object.fromEntries(Object.entries(shape).filter(([, value]) => value !== undefined)) as {
    [Key in keyof Shape]: Exclude<Shape[Key], undefined>;
  };
}

/** Multiplies without the noise of binary fractions: 240 mA is 0.24 A, not 0.24000000000000002. */
function scaled(value: number, unit: UnitDefinition): number {
  return unit.factor === 1 ? value : Number((value * unit.factor).toPrecision(12));
}

function unitsOf(dimensions: readonly Dimension[]): string[] {
  return dimensions.flatMap((dimension) => unitsFor(dimension).map(({ symbol }) => symbol));
}

function formatWritten(written: string, unit: string): string {
  const head = written.slice(0, written.length - unit.length).trim();
  return head === '' ? written : head;
}

function isDate(text: string): boolean {
  const match = /^(\d{4})-(\d{2})-(\d{2})$/u.exec(text);
  if (match === null) {
    return false;
  }
  const [year, month, day] = match.slice(1).map(Number) as [number, number, number];
  const leap = (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0;
  const days = [31, leap ? 29 : 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31][month - 1];
  return days !== undefined && day >= 1 && day <= days;
}

function isAddress(text: string, form: 'host' | 'prefixed'): boolean {
  const match = /^(\d{1,3})\.(\d{1,3})\.(\d{1,3})\.(\d{1,3})(?:\/(\d{1,2}))?$/u.exec(text);
  return (
    match !== null &&
    match.slice(1, 5).every((part) => Number(part) <= 255 && String(Number(part)) === part) &&
    (form === 'host' ? match[5] === undefined : match[5] !== undefined && Number(match[5]) <= 32)
  );
}
