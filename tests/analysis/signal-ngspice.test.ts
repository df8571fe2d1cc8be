/** The one-circuit model of a balanced pair against a simulation of both wires and the common. */
import { describe, expect, it } from 'vitest';
import { idleVoltages, UNIT_LOAD_OHM } from '../../src/analysis/electrical/signal.js';
import type { Line, LinePoint, LineSection } from '../../src/analysis/electrical/signal.js';
import { NGSPICE_INSTALL, ngspiceIsInstalled, voltagesFromNgspice } from '../support/ngspice.js';
import { randomFrom, seedOfThisRun } from '../support/random.js';
import type { Random } from '../support/random.js';

const LINES = 40;

const installed = ngspiceIsInstalled();
const name = (text: string): string =>
  installed ? text : `${text} (skipped: ngspice is missing, type: ${NGSPICE_INSTALL})`;

describe('idle voltages', () => {
  const seed = seedOfThisRun();
  console.log(`random lines for ngspice: FERRULE_SEED=${seed}`);

  it.skipIf(!installed)(name(`agree with ngspice on ${LINES} two-wire lines, seed ${seed}`), () => {
    const random = randomFrom(seed);
    const lines = Array.from({ length: LINES }, () => randomLine(random));
    const nodes = lines.flatMap((line, index) =>
      line.points.flatMap(({ id }) => [wire('a', index, id), wire('b', index, id)]),
    );
    const voltageV = voltagesFromNgspice(lines.flatMap(twoWires), nodes);
    lines.forEach((line, index) => {
      const idle = idleVoltages(line);
      expect(idle.known && idle.points.length).toBe(line.points.length);
      for (const point of idle.known ? idle.points : []) {
        const pairV =
          voltageV.get(wire('a', index, point.id))! - voltageV.get(wire('b', index, point.id))!;
        expect(Math.abs(point.voltageV - pairV)).toBeLessThan(1e-7);
      }
    });
  });
});

/** A chain with stubs, one or two biases, terminators anywhere. */
function randomLine(random: Random): Line {
  const count = random.integer(2, 20);
  const biasAt = [0, random.next() < 0.3 ? random.integer(0, count - 1) : 0];
  const points = Array.from({ length: count }, (_, index): LinePoint => ({
    id: `p${index}`,
    unitLoads: random.pick([0, 1 / 8, 1 / 4, 1, 2]),
    terminators:
      random.next() < 0.2 ? [{ kind: 'resistor', resistanceOhm: random.pick([120, 150]) }] : [],
    biases: biasAt.includes(index)
      ? [{ resistanceEachOhm: random.between(390, 1000), supplyV: random.pick([3.3, 5]) }]
      : [],
  }));
  const sections = points.slice(1).map(({ id }, index): LineSection => ({
    from: `p${random.next() < 0.8 ? index : random.integer(0, index)}`,
    to: id,
    loopResistanceOhm: random.between(0.1, 20),
  }));
  return { points, sections };
}

/** Each wire with half the loop, pull-ups to a supply of their own, pull-downs to the common. */
function twoWires(line: Line, index: number): readonly string[] {
  const a = (id: string): string => wire('a', index, id);
  const b = (id: string): string => wire('b', index, id);
  return [
    ...line.sections.flatMap(({ from, to, loopResistanceOhm }, section) => [
      `RA${index}_${section} ${a(from)} ${a(to)} ${loopResistanceOhm / 2}`,
      `RB${index}_${section} ${b(from)} ${b(to)} ${loopResistanceOhm / 2}`,
    ]),
    ...line.points.flatMap(({ id, unitLoads, terminators, biases }) => [
      ...(unitLoads > 0 ? [`RU${index}_${id} ${a(id)} ${b(id)} ${UNIT_LOAD_OHM / unitLoads}`] : []),
      ...terminators.map(
        ({ resistanceOhm }, n) => `RT${index}_${id}_${n} ${a(id)} ${b(id)} ${resistanceOhm}`,
      ),
      ...biases.flatMap(({ resistanceEachOhm, supplyV }, n) => [
        `V${index}_${id}_${n} s${index}_${id}_${n} 0 ${supplyV}`,
        `RP${index}_${id}_${n} s${index}_${id}_${n} ${a(id)} ${resistanceEachOhm}`,
        `RD${index}_${id}_${n} ${b(id)} 0 ${resistanceEachOhm}`,
      ]),
    ]),
  ];
}

function wire(letter: 'a' | 'b', line: number, point: string): string {
  return `${letter}${line}_${point}`;
}
