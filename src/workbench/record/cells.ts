/** What people write into cells: numbers, days, yes and no. */
import { UNITS, meantUnit, readQuantity, type UnitDefinition } from '../../model/quantity.js';
import { recordTexts as texts } from './texts.js';

/** A cell that was read, or what is wrong with it. */
export type Read<Value> = { readonly value: Value } | { readonly wrong: string };

/** Without the blanks around it, and without the mark that keeps a spreadsheet from calculating. */
export function tidy(cell: string): string {
  return cell
    .replaceAll(/[\u00a0\u202f\u2007]/gu, ' ')
    .trim()
    .replace(/^'(?=[=+\-@\t])/u, '');
}

/** A whole number, `7` or `7.0`. */
export function readCount(cell: string): Read<number> {
  const match = /^(\d{1,6})(?:[.,]0+)?$/u.exec(tidy(cell));
  return match === null ? { wrong: texts.noCount(cell) } : { value: Number(match[1]) };
}

/**
 * A reading in the model's unit (V, ohm). `unit` is what the sheet asks for, and what a bare number
 * means; a unit that a person wrote counts where it measures the same.
 */
export function readReading(cell: string, unit: UnitDefinition): Read<number> {
  const text = tidy(cell).replace(/^\u2212/u, '-');
  if (/^[+-]?[1-9]\d{0,2},\d{3}(?:\D|$)/u.test(text)) {
    return { wrong: texts.twoReadings(cell) };
  }
  const read = readQuantity(text);
  if (Number.isNaN(read.number) || read.secondNumber !== undefined) {
    return { wrong: texts.noNumber(cell) };
  }
  const written =
    read.writtenUnit === undefined ? (read.unit ?? unit) : unitMeant(read.writtenUnit);
  if (written === undefined) {
    return { wrong: texts.unknownUnit(cell, unit.symbol) };
  }
  return written.dimension === unit.dimension
    ? { value: roundedProduct(read.number, written.factor) }
    : { wrong: texts.otherUnit(cell, unit.symbol) };
}

/** Without the last bits of binary arithmetic: 269 mV are 0.269 V. */
function roundedProduct(number: number, factor: number): number {
  return Number((number * factor).toPrecision(12));
}

function unitMeant(written: string): UnitDefinition | undefined {
  return (
    meantUnit(written) ?? UNITS.find(({ symbol }) => symbol.toLowerCase() === written.toLowerCase())
  );
}

const YES: ReadonlySet<string> = new Set([
  'yes',
  'y',
  'x',
  'ok',
  'o.k.',
  'found',
  'seen',
  'true',
  '1',
  '✓',
  '✔',
  '☑',
  '☒',
]);
const NO: ReadonlySet<string> = new Set([
  'no',
  'n',
  'not found',
  'not seen',
  'missing',
  'missed',
  'false',
  '0',
  '-',
  '–',
  '✗',
  '✘',
]);

/** True for a tick, false for a no; undefined for anything else. */
export function readTick(cell: string): boolean | undefined {
  const word = tidy(cell).toLowerCase();
  return YES.has(word) ? true : NO.has(word) ? false : undefined;
}

/** A day as people write it; refuses the ones that two countries read differently. */
export function readDay(cell: string, today: string): Read<string> {
  const text = tidy(cell);
  const iso = /^(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:[T ].*)?$/u.exec(text);
  if (iso !== null) {
    return checkedDay(text, today, Number(iso[1]), Number(iso[2]), Number(iso[3]));
  }
  const short = /^(\d{1,2})([-/. ])\s?(\d{1,2})\2\s?(\d{4})$/u.exec(text);
  if (short === null) {
    return { wrong: texts.noDate(cell) };
  }
  const [first, second, year] = [Number(short[1]), Number(short[3]), Number(short[4])];
  // A point between the numbers means day first; a stroke may mean either.
  const isDayFirst = short[2] === '.' || first > 12 || first === second;
  if (!isDayFirst && second <= 12) {
    return { wrong: texts.twoDates(cell) };
  }
  return isDayFirst
    ? checkedDay(text, today, year, second, first)
    : checkedDay(text, today, year, first, second);
}

function checkedDay(
  text: string,
  today: string,
  year: number,
  month: number,
  day: number,
): Read<string> {
  const leap = (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0;
  const days = [31, leap ? 29 : 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31][month - 1] ?? 0;
  if (day < 1 || day > days) {
    return { wrong: texts.noDate(text) };
  }
  const two = (number: number) => String(number).padStart(2, '0');
  const iso = `${year}-${two(month)}-${two(day)}`;
  return iso > today ? { wrong: texts.laterDate(iso, today) } : { value: iso };
}
