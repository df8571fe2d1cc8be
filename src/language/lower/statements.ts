/** What people say about a site: zones, waivers and observations. */
import type { Observation, Seen, Waiver, Zone } from '../../model/records.js';
import type * as ast from '../generated/ast.js';
import type { Dimension } from '../../model/quantity.js';
import { texts } from '../texts.js';
import { defined, type Reader } from './reader.js';

export function lowerZone(reader: Reader, block: ast.ZoneBlock): Zone {
  const units: string[] = [];
  for (const line of block.lines) {
    const steps = line.target?.steps ?? [];
    const name = steps.map((step) => step.$refText).join('.');
    if (name !== '') {
      reader.mark(`unit/${units.length}`, line);
      const names = steps.map((step) => step.$refText);
      reader.reference(steps[0], ['device'], undefined, names[1]);
      for (let index = 1; index < steps.length; index++) {
        reader.reference(steps[index], ['part'], names.slice(0, index).join('.'));
      }
      units.push(name);
    }
  }
  return defined({
    kind: 'zone' as const,
    name: block.name,
    ...reader.optionalText('title', block.title),
    units,
  }) as Zone;
}

export function lowerWaiver(reader: Reader, line: ast.WaiverLine): Waiver | undefined {
  const on = reader.anything(line.target);
  reader.mark('rule', line, 'rule');
  reader.mark('on', line, 'target');
  reader.mark('upto', line, 'limit');
  reader.mark('because', line, 'reason');
  reader.mark('until', line, 'until');
  if (line.reason === undefined) {
    reader.problem(
      {
        rule: 'syntax-error',
        ...texts.missing(
          'The reason',
          'Write "because" and why this is right on this site, in double quotes.',
        ),
      },
      reader.span(line, 'rule'),
    );
  }
  if (line.until === undefined) {
    reader.problem(
      {
        rule: 'syntax-error',
        ...texts.missing(
          'The end of the waiver',
          'Write "until" and a date, as in "until 2027-03-31".',
        ),
      },
      reader.span(line, 'rule'),
    );
  }
  if (line.rule === undefined || on === undefined) {
    return undefined;
  }
  return defined({
    kind: 'accept' as const,
    rule: line.rule,
    on,
    upTo: upTo(reader, line),
    because: reader.text(line.reason),
    until: reader.date(line, 'until', line.until),
  }) as Waiver;
}

export function lowerObservation(
  reader: Reader,
  line: ast.ObservationLine,
): Observation | undefined {
  const subject = reader.anything(line.target);
  reader.mark('subject', line, 'target');
  reader.mark('seen', line, 'seen');
  reader.mark('date', line, 'date');
  if (line.date === undefined) {
    reader.problem(
      {
        rule: 'syntax-error',
        ...texts.missing(
          'The date of the observation',
          'Write "on" and the day, as in "on 2026-11-20".',
        ),
      },
      reader.span(line),
    );
  }
  const seen = line.seen === undefined ? undefined : lowerSeen(reader, line.seen);
  if (subject === undefined || seen === undefined) {
    return undefined;
  }
  return defined({
    kind: 'observed' as const,
    subject,
    seen,
    on: reader.date(line, 'date', line.date),
  }) as Observation;
}

const measurable: readonly Dimension[] = ['voltage', 'resistance', 'current', 'power', 'time'];
/** Plain numbers first: a rule may count. */
const anyDimension: readonly Dimension[] = [
  'count',
  'length',
  'area',
  'voltage',
  'current',
  'power',
  'resistance',
  'ratio',
  'rate',
  'size',
  'time',
  'temperature',
  'capacitance',
];

const baseUnits: Readonly<Partial<Record<Dimension, string>>> = {
  voltage: 'V',
  resistance: 'ohm',
  current: 'A',
  power: 'W',
  time: 's',
  length: 'm',
  temperature: 'C',
};

function lowerSeen(reader: Reader, seen: ast.Seen): Seen | undefined {
  switch (seen.$type) {
    case 'FindsSeen': {
      const count = reader.count(seen, 'value', seen.value);
      return count === undefined ? undefined : { how: 'finds', count };
    }
    case 'MissesSeen': {
      const device = reader.anything(seen.unit);
      return device === undefined ? undefined : { how: 'misses', device };
    }
    case 'MeasuresSeen': {
      const measured = reader.measure(
        seen,
        'value',
        seen.value,
        seen.powerOff ? ['resistance'] : seen.idle ? ['voltage'] : measurable,
      );
      if (measured?.dimension === 'resistance' && !seen.powerOff) {
        reader.problem(
          { rule: 'syntax-error', ...texts.resistanceUnderPower },
          reader.span(seen, 'value'),
        );
        return undefined;
      }
      const withinPercent = reader.number(seen, 'within', seen.within, 'ratio');
      return measured === undefined
        ? undefined
        : (defined({
            how: 'measures' as const,
            value: measured.value,
            unit: baseUnits[measured.dimension] ?? measured.unit.symbol,
            state: seen.powerOff
              ? ('power-off' as const)
              : seen.idle
                ? ('idle' as const)
                : undefined,
            withinPercent,
          }) as Seen);
    }
    case 'PageOpensSeen':
      return { how: 'page-opens' };
    case 'PageFailsSeen':
      return { how: 'page-fails', text: reader.text(seen.text) ?? '' };
  }
}

/** A waiver's accepted value is compared with a finding's value, whatever its dimension; it is kept in the base unit. */
function upTo(reader: Reader, line: ast.WaiverLine): Waiver['upTo'] {
  const measured = reader.measure(line, 'limit', line.limit, anyDimension);
  if (measured === undefined) {
    return undefined;
  }
  const { dimension, unit } = measured;
  const named = unit.apparent === true ? 'VA' : (baseUnits[dimension] ?? unit.symbol);
  return { value: measured.value, unit: named };
}
