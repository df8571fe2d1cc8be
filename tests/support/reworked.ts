/**
 * Values worked anew from the terms that `ferrule explain` shows, as a person with paper and pencil
 * would: by the names of the terms, with no code of the analysis.
 */
import type { Fact, Term } from '../../src/model/finding.js';

/** What the terms of a fact come to: a number, or the range in which it must lie. */
export type Reworked = number | { readonly from: number; readonly to: number };

/** For each fact with a number for a value its formula. */
export const REWORKED: Readonly<Record<string, (fact: Fact) => Reworked>> = {
  drops: ({ terms }) => terms.length,
  'total-length': ({ terms }) => sumOf(inUnit(terms, 'm')),
  'farthest-length': ({ terms }) => sumOf(inUnit(terms, 'm')),
  'longest-stub': ({ terms }) => Math.max(0, ...inUnit(terms, 'm')),
  'unit-loads': ({ terms }) => sumOf(inUnit(terms, 'unit loads')),
  'idle-voltage': ({ terms }) =>
    starting(terms, 'voltage at ') - starting(terms, 'lost on the way to '),
  'far-signal': ({ terms }) =>
    named(terms, 'voltage at the driver') - named(terms, 'lost on the way to the receiver'),
  'head-resistance': ({ terms }) => {
    const conductance = terms
      .filter(({ name }) => name.startsWith('terminator at '))
      .reduce((sum, { value }) => sum + 1 / Number(value), 0);
    return 1 / conductance + named(terms, 'added by the cable');
  },
  'scan-time': ({ terms }) =>
    terms.some(({ name }) => name === 'bits of a token') ? tokenRound(terms) : pollRound(terms),
  load: ({ terms, unit }) => sumOf(inUnit(terms, unit)),
  spare: ({ terms }) => named(terms, 'rating') - named(terms, 'load'),
  voltage: ({ terms }) => voltageAtTheEnd(terms),
  'voltage-drop': ({ terms }) => {
    const sourceV = named(terms, 'source nominal');
    return (100 * (sourceV - starting(terms, 'voltage at '))) / sourceV;
  },
  'collapse-margin': ({ terms }) =>
    named(terms, 'most that they could take') / named(terms, 'constant-power loads'),
  'fault-current': ({ terms }) =>
    named(terms, 'V') / (named(terms, 'R_loop') + named(terms, 'R_source')),
  address: ({ terms, value }) =>
    terms.length === 0
      ? Number(value)
      : Number(new Set(terms.map((term) => term.value)).values().next().value),
  finds: ({ terms }) => {
    const lines = terms.map(({ value }) => Number(value));
    // A unit that two lines find is counted once.
    return lines.length === 1 ? lines[0]! : { from: Math.max(...lines), to: sumOf(lines) };
  },
  hosts: ({ terms }) => named(terms, 'static hosts') + named(terms, 'hosts by DHCP'),
  free: ({ terms }) => freeAddresses(terms),
  length: ({ terms }) => sumOf(inUnit(terms, 'm')),
  reels: ({ terms }) => reelsFor(terms),
};

function inUnit(terms: readonly Term[], unit: string): readonly number[] {
  return terms.filter((term) => term.unit === unit).map(({ value }) => Number(value));
}

function sumOf(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0);
}

function named(terms: readonly Term[], name: string): number {
  return Number(terms.find((term) => term.name === name)?.value ?? Number.NaN);
}

function starting(terms: readonly Term[], start: string): number {
  return Number(terms.find((term) => term.name.startsWith(start))?.value ?? Number.NaN);
}

/** Modbus over Serial Line V1.02: bytes of eleven bits, 3.5 silent characters before and after, the time to answer. */
function pollRound(terms: readonly Term[]): number {
  const baud = named(terms, 'rate');
  const silenceS = named(terms, 't3.5');
  return terms
    .filter(({ name }) => name.startsWith('poll and reply of '))
    .reduce(
      (sum, { name, value }) =>
        sum +
        (Number(value) * 11) / baud +
        2 * silenceS +
        named(terms, name.replace('poll and reply of', 'process time of')),
      0,
    );
}

function tokenRound(terms: readonly Term[]): number {
  return (
    named(terms, 'ports that hold the token') *
    (named(terms, 'bits of a token') / named(terms, 'rate') +
      named(terms, 'longest wait before a port uses the token'))
  );
}

/** The voltage of the source less (R + jX) I of the source and of each cable, at the angles that are shown. */
function voltageAtTheEnd(terms: readonly Term[]): number {
  const source = terms.find(({ name }) => name.startsWith('voltage of '));
  const scale = terms.find(({ name }) => name === 'line voltage per line current');
  const factor = scale === undefined ? 1 : Number(scale.value);
  let real = Number(source?.value ?? Number.NaN);
  let imaginary = 0;
  terms.forEach(({ name, value }, position) => {
    if (!name.startsWith('R ')) {
      return;
    }
    const rest = name.slice(2);
    // What belongs to a cable stands behind its resistance and before the next one's.
    const next = terms.findIndex((term, later) => later > position && term.name.startsWith('R '));
    const own = terms.slice(position, next < 0 ? terms.length : next);
    const currentA = named(own, `I ${rest}`);
    const angle =
      (named([...own, zero(`angle of I ${rest}`)], `angle of I ${rest}`) * Math.PI) / 180;
    const reactance = named([...own, zero(`X ${rest}`)], `X ${rest}`);
    const [across, along] = [Math.sin(angle) * currentA, Math.cos(angle) * currentA];
    real -= factor * (Number(value) * along - reactance * across);
    imaginary -= factor * (Number(value) * across + reactance * along);
  });
  return Math.hypot(real, imaginary);
}

function zero(name: string): Term {
  return { name, value: 0, unit: '', basis: 'computed' };
}

/** Host addresses less all that stand in the list, each once. */
function freeAddresses(terms: readonly Term[]): number {
  const [address, length] = String(terms.find(({ name }) => name === 'prefix')!.value).split('/');
  const size = 2 ** (32 - Number(length));
  const base = Math.floor(numberOf(address!) / size) * size;
  const taken = new Set<number>();
  for (const { value } of terms) {
    const range = /^(\d+(?:\.\d+){3})(?: \.\. (\d+(?:\.\d+){3}))?$/u.exec(String(value));
    if (range === null) {
      continue;
    }
    const last = numberOf(range[2] ?? range[1]!);
    for (let one = numberOf(range[1]!); one <= last; one += 1) {
      if (one > base && one < base + size - 1) {
        taken.add(one);
      }
    }
  }
  return named(terms, 'host addresses') - taken.size;
}

function numberOf(address: string): number {
  return address.split('.').reduce((sum, part) => 256 * sum + Number(part), 0);
}

/** Between what the metres alone ask for and what cutting longest first takes. */
function reelsFor(terms: readonly Term[]): Reworked {
  const reelM = named(terms, 'reel');
  const cuts = terms
    .filter(({ name }) => name.startsWith('cut '))
    .map(({ value }) => Number(value))
    .filter((cutM) => cutM <= reelM)
    .sort((one, other) => other - one);
  const rests: number[] = [];
  for (const cutM of cuts) {
    const reel = rests.findIndex((rest) => rest >= cutM);
    if (reel < 0) {
      rests.push(reelM - cutM);
    } else {
      rests[reel]! -= cutM;
    }
  }
  return { from: Math.ceil(sumOf(cuts) / reelM), to: rests.length };
}
