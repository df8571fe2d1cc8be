/**
 * Units of the language and how a written quantity becomes a number in the unit the model keeps.
 *
 * The model itself never stores a unit beside a number: the unit stands in the field's name
 * (`lengthM`, `currentA`). This file is the one place where written units are turned into those.
 */

/** What a number measures. Every slot of the language asks for exactly one dimension. */
export type Dimension =
  | 'length'
  | 'area'
  | 'voltage'
  | 'current'
  | 'power'
  | 'resistance'
  | 'ratio'
  | 'rate'
  | 'size'
  | 'time'
  | 'temperature'
  | 'capacitance'
  | 'count';

/** Alternating or direct: only voltages carry it, and only where the text says so. */
export type CurrentKind = 'ac' | 'dc';

/** A unit as it may be written, with what it is and the factor to the model's own unit. */
export interface UnitDefinition {
  readonly symbol: string;
  readonly dimension: Dimension;
  /** Multiplies the written number to give the model's unit (m, mm2, V, A, W, ohm, %, baud, bytes, s, C, F). */
  readonly factor: number;
  readonly currentKind?: CurrentKind;
  /** True where the number is apparent power. */
  readonly apparent?: boolean;
  /** True for wire gauges, whose number is a size in a table and not a multiple of anything. */
  readonly gauge?: boolean;
}

/** The units that the language knows, in the order in which they are offered. */
export const UNITS: readonly UnitDefinition[] = [
  { symbol: 'm', dimension: 'length', factor: 1 },
  { symbol: 'mm', dimension: 'length', factor: 1e-3 },
  { symbol: 'inch', dimension: 'length', factor: 0.0254 },
  { symbol: 'ft', dimension: 'length', factor: 0.3048 },
  { symbol: 'mm2', dimension: 'area', factor: 1 },
  { symbol: 'AWG', dimension: 'area', factor: 1, gauge: true },
  { symbol: 'V', dimension: 'voltage', factor: 1 },
  { symbol: 'VAC', dimension: 'voltage', factor: 1, currentKind: 'ac' },
  { symbol: 'VDC', dimension: 'voltage', factor: 1, currentKind: 'dc' },
  { symbol: 'mV', dimension: 'voltage', factor: 1e-3 },
  { symbol: 'A', dimension: 'current', factor: 1 },
  { symbol: 'mA', dimension: 'current', factor: 1e-3 },
  { symbol: 'VA', dimension: 'power', factor: 1, apparent: true },
  { symbol: 'W', dimension: 'power', factor: 1 },
  { symbol: 'ohm', dimension: 'resistance', factor: 1 },
  { symbol: 'kohm', dimension: 'resistance', factor: 1e3 },
  { symbol: '%', dimension: 'ratio', factor: 1 },
  { symbol: 'baud', dimension: 'rate', factor: 1 },
  { symbol: 'bytes', dimension: 'size', factor: 1 },
  { symbol: 's', dimension: 'time', factor: 1 },
  { symbol: 'ms', dimension: 'time', factor: 1e-3 },
  { symbol: 'us', dimension: 'time', factor: 1e-6 },
  { symbol: 'ns', dimension: 'time', factor: 1e-9 },
  { symbol: 'C', dimension: 'temperature', factor: 1 },
  { symbol: 'nF', dimension: 'capacitance', factor: 1e-9 },
];

/** Spellings that people type by habit, and the unit that each one means. */
export const NEAR_MISS_UNITS: Readonly<Record<string, string>> = {
  metre: 'm',
  metres: 'm',
  meter: 'm',
  meters: 'm',
  mtr: 'm',
  M: 'm',
  MM: 'mm',
  'mm²': 'mm2',
  sqmm: 'mm2',
  mm_2: 'mm2',
  'mm^2': 'mm2',
  MM2: 'mm2',
  awg: 'AWG',
  ga: 'AWG',
  inches: 'inch',
  in: 'inch',
  feet: 'ft',
  foot: 'ft',
  volt: 'V',
  volts: 'V',
  v: 'V',
  'V AC': 'VAC',
  'V DC': 'VDC',
  'V~': 'VAC',
  Vac: 'VAC',
  Vdc: 'VDC',
  vac: 'VAC',
  vdc: 'VDC',
  amp: 'A',
  amps: 'A',
  a: 'A',
  ma: 'mA',
  MA: 'mA',
  va: 'VA',
  watt: 'W',
  watts: 'W',
  w: 'W',
  Ohm: 'ohm',
  ohms: 'ohm',
  Ohms: 'ohm',
  OHM: 'ohm',
  Ω: 'ohm',
  kΩ: 'kohm',
  kOhm: 'kohm',
  percent: '%',
  pct: '%',
  bps: 'baud',
  Bd: 'baud',
  bd: 'baud',
  byte: 'bytes',
  B: 'bytes',
  sec: 's',
  secs: 's',
  second: 's',
  seconds: 's',
  S: 's',
  msec: 'ms',
  µs: 'us',
  '°C': 'C',
  degC: 'C',
  nf: 'nF',
};

const unitBySymbol = new Map(UNITS.map((unit) => [unit.symbol, unit]));

/** Looks a unit up by its exact symbol. */
export function unitOf(symbol: string): UnitDefinition | undefined {
  return unitBySymbol.get(symbol);
}

/** A quantity as somebody wrote it. */
export interface WrittenQuantity {
  readonly text: string;
  /** The first number; `300/500` gives 300, `1/8` as a plain number gives 0.125 through {@link ratio}. */
  readonly number: number;
  /** The second number of `300/500` or `1/0`. */
  readonly secondNumber?: number;
  readonly unit?: UnitDefinition;
  /** The unit as written, where it is no unit of the language. */
  readonly writtenUnit?: string;
  /** True where a decimal comma was written. */
  readonly decimalComma: boolean;
}

const shape = /^([+-]?\d+(?:[.,]\d+)?)(?:\/(\d+(?:[.,]\d+)?))?[ \t]*(.*)$/u;

/** Reads the text of a quantity or a bare number. Never throws: what is no number gives NaN. */
export function readQuantity(text: string): WrittenQuantity {
  const match = shape.exec(text);
  if (match === null) {
    return { text, number: Number.NaN, decimalComma: false };
  }
  const [, first = '', second, written = ''] = match;
  const symbol = written.trim().replace(/[ \t]+/gu, ' ');
  const unit = unitBySymbol.get(symbol);
  return {
    text,
    number: Number(first.replace(',', '.')),
    ...(second === undefined ? {} : { secondNumber: Number(second.replace(',', '.')) }),
    ...(unit === undefined ? {} : { unit }),
    ...(unit === undefined && symbol !== '' ? { writtenUnit: symbol } : {}),
    decimalComma: first.includes(',') || (second ?? '').includes(','),
  };
}

/** The value of a bare number such as `0.125` or `1/8`. */
export function ratio(quantity: WrittenQuantity): number {
  return quantity.secondNumber === undefined || quantity.secondNumber === 0
    ? quantity.number
    : quantity.number / quantity.secondNumber;
}

/** The unit that a near miss means, if it is one. */
export function meantUnit(written: string): UnitDefinition | undefined {
  const symbol = NEAR_MISS_UNITS[written];
  return symbol === undefined ? undefined : unitBySymbol.get(symbol);
}

/** The units that fit a dimension, for messages and completion. */
export function unitsFor(dimension: Dimension): readonly UnitDefinition[] {
  return UNITS.filter((unit) => unit.dimension === dimension);
}

/** A conductor's size as the table names it: a cross-section, or a gauge with its number. */
export type ConductorSize =
  | { readonly mm2: number; readonly awg?: undefined }
  | { readonly awg: number; readonly mm2?: undefined };

/** Cross-section in mm2 of a gauge number, by ASTM B258 (from memory; the results meet NEC chapter 9 table 8). */
export function crossSectionMm2(size: ConductorSize): number {
  if (size.mm2 !== undefined) {
    return size.mm2;
  }
  const diameterMm = 0.127 * 92 ** ((36 - size.awg) / 39);
  return (Math.PI / 4) * diameterMm * diameterMm;
}

/** A size as people write it: `0.75 mm2`, `18 AWG`. */
export function sizeText(size: ConductorSize): string {
  return size.mm2 !== undefined ? `${formatNumber(size.mm2)} mm2` : `${size.awg} AWG`;
}

/** A number for people: at most `digits` decimals, no trailing zeros, never an exponent, never "-0". */
export function formatNumber(value: number, digits = 3): string {
  if (!Number.isFinite(value)) {
    return String(value);
  }
  const fixed = value.toFixed(digits);
  const text = fixed.includes('.') ? fixed.replace(/\.?0+$/u, '') : fixed;
  return text === '-0' ? '0' : text;
}
