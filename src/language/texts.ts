/** What the language says to people while it reads their text. */
import type { Dimension } from '../model/quantity.js';

interface Said {
  readonly what: string;
  readonly why: string;
  readonly remedy: string;
}

const said = (what: string, remedy: string, why = ''): Said => ({ what, why, remedy });

const dimensionNames: Readonly<Record<Dimension, string>> = {
  length: 'a length',
  area: 'a conductor size',
  voltage: 'a voltage',
  current: 'a current',
  power: 'a power',
  resistance: 'a resistance',
  ratio: 'a percentage',
  rate: 'a bit rate',
  size: 'a number of bytes',
  time: 'a time',
  temperature: 'a temperature',
  capacitance: 'a capacitance',
  count: 'a plain number',
};

export const texts = {
  unknownKeyword: (word: string, meant: string | undefined): Said =>
    said(
      `"${word}" is not a word that a statement can start with.`,
      meant === undefined
        ? 'Start the line with a keyword, or indent it under the declaration it belongs to.'
        : `Did you mean "${meant}"?`,
    ),
  changeTo: (text: string) => `Change to "${text}"`,
  changeNameTo: (name: string, places: number) =>
    places === 1 ? `Change to "${name}"` : `Change to "${name}" in ${places} places`,
  namedAgain: (others: number) =>
    others === 1 ? 'Another line names it, too.' : `${others} other lines name it, too.`,
  namedHere: (name: string) => `"${name}" is named here, too.`,
  strayCharacter: (character: string): Said =>
    character === '='
      ? said(
          '"=" means nothing here.',
          'Write the keyword and its value with a blank between them, as in "address 7".',
        )
      : character === '(' || character === ')' || character === '[' || character === ']'
        ? said(
            `"${character}" means nothing here.`,
            'Blocks are written with { and }, lists with commas.',
          )
        : character === ';'
          ? said(
              '";" means nothing here.',
              'A statement ends with its line; leave the semicolon out.',
            )
          : character === "'"
            ? said("A text is written between double quotes, not '.", 'Write "like this".')
            : said(
                `"${character}" means nothing here.`,
                'Remove it, or put it into a text between double quotes.',
              ),
  extraBrace: said('This } closes nothing.', 'Remove it, or add the { that it belongs to.'),
  openBrace: said(
    'This { is not closed.',
    'Add the } where its block ends.',
    'It was taken to end where a line stands no deeper than this one.',
  ),
  openString: said('This text has no closing quote.', 'End it with " on the same line.'),
  unopenedString: said(
    'This text has no opening quote.',
    'Put " before its first word.',
    'A text stands between two quotes on one line.',
  ),
  addUse: (path: string) => `Add use "${path}"`,
  removeLine: 'Remove the line',
  removeSecond: 'Remove the second one, which says the same',
  renameTo: (name: string) => `Name this one "${name}"`,
  closeBlock: 'Close the block with }',
  openBlock: 'Open the block with {',
  removeIt: 'Remove it',
  putIn: (sign: string) => `Put "${sign}" in`,
  moveToStart: 'Move it to the start of its line',
  openText: 'Open the text with "',
  closeString: 'Close the text with "',
  notAtColumnZero: (keyword: string): Said =>
    said(
      `"${keyword}" starts a declaration but is indented.`,
      'Move it to the start of its line.',
      'Declarations start at the first column, their members are indented.',
    ),
  expected: (found: string, wanted: string): Said =>
    said(
      `${found} does not fit here.`,
      wanted === '' ? 'Remove it or complete the statement.' : `Write ${wanted}.`,
    ),
  keywordMeant: (word: string, meant: string): Said =>
    said(`"${word}" does not fit here.`, `Did you mean "${meant}"?`),
  signMissing: (sign: string, before: string): Said =>
    said(`A "${sign}" is missing before ${before}.`, `Write "${sign}" there.`),
  blockUnopened: said(
    'The { is missing with which a block opens here.',
    'Write { at the end of the line.',
    'There is a } below that would close it.',
  ),
  incomplete: (last: string, wanted: string): Said =>
    said(
      `The statement ends too early behind ${last.startsWith('"') ? last : `"${last}"`}.`,
      wanted === '' ? 'Complete it, or remove the line.' : `Write ${wanted} behind it.`,
    ),
  /** `places` are the words of the blocks in which the statement may stand. */
  notOnItsOwn: (word: string, places: readonly string[]): Said =>
    said(
      `"${word}" is no declaration of its own.`,
      places.length === 0
        ? 'Remove it.'
        : `Indent it between { and } of ${list(places.map(aBlock), 'or')}.`,
    ),
  notInBlock: (
    word: string,
    block: string,
    places: readonly string[],
    statements: readonly string[],
  ): Said =>
    said(
      `"${word}" does not belong into ${aBlock(block)}.`,
      places.length > 0 && places.length <= 4
        ? `It belongs into ${list(places.map(aBlock), 'or')}.`
        : `There may be ${list(
            statements.map((one) => `"${one}"`),
            'and',
          )}.`,
    ),
  unitMissing: (text: string, dimensions: readonly Dimension[], units: readonly string[]): Said =>
    said(
      `${text} has no unit; ${anyOf(dimensions)} is wanted here.`,
      `Write ${list(
        units.map((unit) => `${text} ${unit}`),
        'or',
      )}.`,
      'Every quantity carries its unit.',
    ),
  unitWrong: (text: string, dimensions: readonly Dimension[], units: readonly string[]): Said =>
    said(
      `${text} is not ${anyOf(dimensions)}, which is wanted here.`,
      units.length === 0
        ? 'Write the number without a unit.'
        : `Use ${units.length === 1 ? 'the unit' : 'one of the units'} ${list(units, 'or')}.`,
    ),
  unitUnknown: (unit: string, units: readonly string[]): Said =>
    said(
      `"${unit}" is no unit of the language.`,
      units.length === 0
        ? 'Write the number without a unit.'
        : `Use ${units.length === 1 ? 'the unit' : 'one of the units'} ${list(units, 'or')}.`,
    ),
  unitSpelled: (text: string, unit: string): Said =>
    said(`${text} is written with a unit that the language does not have.`, `Write ${unit}.`),
  decimalComma: (text: string, better: string): Said =>
    said(
      `${text} has a decimal comma.`,
      `Write ${better}.`,
      'A comma separates the members of a list.',
    ),
  wholeNumber: (text: string): Said =>
    said(`${text} is not a whole number.`, 'Write a whole number of 0 or more.'),
  outOfRange: (text: string, range: string): Said =>
    said(`${text} is out of range.`, `Write ${range}.`),
  valueUnknown: (
    word: string,
    slot: string,
    values: readonly string[],
    meant: string | undefined,
  ): Said =>
    said(
      `"${word}" is no ${slot}.`,
      meant === undefined
        ? `Write ${list(values, 'or')}.`
        : `Did you mean "${meant}"? Possible are ${list(values, 'and')}.`,
    ),
  dateWrong: (text: string): Said =>
    /^\d{4}-\d{2}-\d{2}$/u.test(text)
      ? said(`There is no day ${text}.`, 'Write a day that the calendar has, as in 2026-11-20.')
      : said(`${text} is not a date.`, 'Write year, month and day, as in 2026-11-20.'),
  ipv6Wrong: (text: string): Said =>
    said(
      `"${text}" is not an IPv6 address.`,
      'Write up to eight groups of hexadecimal digits with colons, as in "2001:db8::20".',
    ),
  addressWrong: (text: string, example: string): Said =>
    said(
      `${text} is not an IPv4 address.`,
      `Write four numbers from 0 to 255 without leading zeros, as in ${example}.`,
    ),
  /** What is missing may be missing because of another slip. */
  missing: (what: string, remedy: string) =>
    ({ ...said(`${what} is missing.`, remedy), ifWhole: true }) as const,
  resistanceUnderPower: said(
    'A resistance is measured with all power off, and this line does not say so.',
    'Write "power-off" behind the value.',
    'Under power the meter shows anything, and may be damaged.',
  ),
  twice: (what: string): Said => said(`${what} is stated twice.`, 'Keep one of them.'),
  notHere: (what: string, remedy: string): Said => said(what, remedy),
} as const;

function anyOf(dimensions: readonly Dimension[]): string {
  return list(
    dimensions.map((dimension) => dimensionNames[dimension]),
    'or',
  );
}

/** A block by the word that heads it, with its article. */
function aBlock(head: string): string {
  return `${/^[aeiou]/u.test(head) ? 'an' : 'a'} ${blockNames[head] ?? head}`;
}

const blockNames: Readonly<Record<string, string>> = {
  bustype: 'bus type',
  land: 'landing',
  lan: 'network socket ("lan")',
};

/** Joins words as people do: `a, b or c`. */
export function list(words: readonly string[], word: 'and' | 'or'): string {
  return words.length < 2
    ? (words[0] ?? '')
    : `${words.slice(0, -1).join(', ')} ${word} ${words[words.length - 1]!}`;
}
