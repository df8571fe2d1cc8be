/** Figures of whole buses, from their text, against circuits that are written from the same drawing of lots. */
import { describe, expect, it } from 'vitest';
import { factsOfBus } from '../../src/analysis/bus/facts.js';
import { NGSPICE_INSTALL, ngspiceIsInstalled, voltagesFromNgspice } from '../support/ngspice.js';
import { randomFrom, seedOfThisRun } from '../support/random.js';
import type { Random } from '../support/random.js';
import { siteOf } from '../support/site.js';

const BUSES = 50;

/** IEC 60228 class 5, ohm/km at 20 °C (table 3, read in reprints). */
const SIZES = [
  { mm2: 0.75, ohmPerKm: 26 },
  { mm2: 1, ohmPerKm: 19.5 },
  { mm2: 1.5, ohmPerKm: 13.3 },
] as const;

interface DrawnNode {
  readonly from: number;
  readonly asSpur: boolean;
  readonly lengthM: number;
  readonly unitLoad: number;
  readonly terminated: boolean;
}

interface DrawnBus {
  readonly size: (typeof SIZES)[number];
  readonly temperatureC: number;
  readonly terminatorOhm: number;
  readonly biasOhm: number;
  readonly nodes: readonly DrawnNode[];
}

const installed = ngspiceIsInstalled();
const suffix = installed ? '' : ` (skipped: ngspice is missing, type: ${NGSPICE_INSTALL})`;

describe('figures of buses', () => {
  const seed = seedOfThisRun();
  console.log(`random buses for ngspice: FERRULE_SEED=${seed}`);

  it.skipIf(!installed)(`agree with ngspice on ${BUSES} buses, seed ${seed}${suffix}`, () => {
    const random = randomFrom(seed);
    const buses = Array.from({ length: BUSES }, () => drawBus(random));
    const names = buses.flatMap((bus, index) =>
      bus.nodes.flatMap((_, node) => [`i${index}_${node}`, `m${index}_${node}`]),
    );
    const voltageV = voltagesFromNgspice(buses.flatMap(circuitOf), names);
    buses.forEach((bus, index) => {
      const { site } = siteOf(textOf(bus));
      const facts = new Map(
        factsOfBus(site, site.buses.get('b')!).map((fact) => [fact.fact, fact.value]),
      );
      const idleV = Math.min(...bus.nodes.map((_, node) => voltageV.get(`i${index}_${node}`)!));
      expect(Math.abs((facts.get('idle-voltage') as number) - idleV)).toBeLessThan(1e-7);
      // 1 A through the meter: the voltage at the head is the resistance.
      const headOhm = voltageV.get(`m${index}_0`)!;
      expect(Math.abs((facts.get('head-resistance') as number) / headOhm - 1)).toBeLessThan(1e-7);
    });
  });
});

function drawBus(random: Random): DrawnBus {
  const count = random.integer(2, 16);
  const spurred = Array.from({ length: count }, (_, index) => index > 0 && random.next() < 0.3);
  let main = 0;
  const nodes = spurred.map((asSpur, index): DrawnNode => {
    const from = asSpur ? random.integer(0, main) : main;
    const start = spurred[from] === true ? main : from;
    main = asSpur ? main : index;
    return {
      from: start,
      asSpur,
      lengthM: random.integer(1, 250),
      unitLoad: random.pick([0.125, 0.25, 0.5, 1]),
      terminated: index === 0 || random.next() < 0.2,
    };
  });
  return {
    size: random.pick(SIZES),
    temperatureC: random.integer(20, 70),
    terminatorOhm: random.pick([120, 150]),
    biasOhm: random.integer(390, 1000),
    nodes,
  };
}

function textOf({ size, temperatureC, terminatorOhm, biasOhm, nodes }: DrawnBus): string {
  const port = (index: number): string => {
    const bias = index === 0 ? `  bias ${biasOhm} ohm 5 VDC` : '';
    const as = index === 0 ? 'controller' : 'responder';
    return `port p : Line terminals A, B as ${as} { unit-load ${nodes[index]!.unitLoad}${bias} }`;
  };
  const landing = (index: number, lengthM: string): string =>
    `land N${index}.p${lengthM}${nodes[index]!.terminated ? ' terminated' : ''}`;
  const spursOf = (node: number): string => {
    const spurs = nodes.flatMap((one, index) =>
      one.asSpur && one.from === node ? [`spur ${one.lengthM} m { ${landing(index, '')} }`] : [],
    );
    return spurs.length === 0 ? '' : ` { ${spurs.join('  ')} }`;
  };
  const lines = nodes.flatMap((one, index) =>
    one.asSpur
      ? []
      : [`  ${landing(index, index === 0 ? '' : ` ${one.lengthM} m`)}${spursOf(index)}`],
  );
  return `
bustype Line { conductors 2  terminate both-ends ${terminatorOhm} ohm  signal rs485 { rate 9600 baud } }
cable Wire { cores 2 x ${size.mm2} mm2 class 5 }
site S { conductor-temperature ${temperatureC} C }
${nodes.map((_, index) => `equipment E${index} { role sensor  ${port(index)} }\ndevice N${index} : E${index}`).join('\n')}
bus b : Line using Wire {
${lines.join('\n')}
}
`;
}

/** The idle line as nodes i…, and without receivers and bias, with 1 A at its head, as nodes m…. */
function circuitOf(bus: DrawnBus, index: number): readonly string[] {
  const ohmPerM = (bus.size.ohmPerKm / 1000) * (1 + 0.00393 * (bus.temperatureC - 20));
  const both = (letter: string, name: (node: number) => string): readonly string[] =>
    bus.nodes.flatMap(({ from, lengthM, terminated }, node) => [
      ...(node === 0
        ? []
        : [`R${letter}${index}_${node} ${name(from)} ${name(node)} ${2 * lengthM * ohmPerM}`]),
      ...(terminated ? [`RT${letter}${index}_${node} ${name(node)} 0 ${bus.terminatorOhm}`] : []),
    ]);
  const idle = (node: number): string => `i${index}_${node}`;
  const meter = (node: number): string => `m${index}_${node}`;
  return [
    ...both('i', idle),
    ...bus.nodes.map(
      ({ unitLoad }, node) => `RU${index}_${node} ${idle(node)} 0 ${12_000 / unitLoad}`,
    ),
    `VB${index} s${index} 0 5`,
    `RB${index} s${index} ${idle(0)} ${2 * bus.biasOhm}`,
    ...both('m', meter),
    `IM${index} 0 ${meter(0)} 1`,
  ];
}
