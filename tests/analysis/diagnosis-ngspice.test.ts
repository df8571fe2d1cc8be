/**
 * Readings from a simulation of both wires, with the error of a meter, lead back to the fault. The
 * circuit is written from the landings: nothing of our own line arithmetic goes into it.
 */
import { describe, expect, it } from 'vitest';
import { diagnosisOf } from '../../src/analysis/diagnosis/diagnosis.js';
import { faultKey, type Fault } from '../../src/analysis/diagnosis/fault.js';
import { possibleFaults } from '../../src/analysis/diagnosis/possible-faults.js';
import { Predictor } from '../../src/analysis/diagnosis/predictor.js';
import { lookKey } from '../../src/analysis/diagnosis/look.js';
import type { Site } from '../../src/model/site.js';
import type { Bus } from '../../src/model/wiring.js';
import { commissionedSite } from '../support/commissioned-sites.js';
import { NGSPICE_INSTALL, ngspiceIsInstalled, voltagesFromNgspice } from '../support/ngspice.js';
import { observedSite, type Looked } from '../support/observed.js';
import { Plant } from '../support/plant.js';
import { randomFrom, seedOfThisRun, type Random } from '../support/random.js';

const CASES = 120;
const IN_ONE_RUN = 12;
const METER_ERROR = 0.02;
const LEAST_IN_FIRST_GROUP = 0.9;

/** IEC 60228, class 5, 0.75 mm2, at 20 °C (read in reprints); copper, 0.00393 for each kelvin. */
const OHM_PER_M_AT_40_C = (26 / 1000) * (1 + 0.00393 * 20);
const TERMINATOR_OHM = 120;
/** TIA/EIA-485-A: a receiver of one unit load. */
const RECEIVER_OHM = 12_000;

const installed = ngspiceIsInstalled();
const seed = seedOfThisRun();
const title = `from ${CASES} simulated lines, seed ${seed}`;

describe('the fault of a line is found', () => {
  it.skipIf(!installed)(
    installed ? title : `${title} (skipped: ngspice is missing, type: ${NGSPICE_INSTALL})`,
    { timeout: 240_000 },
    () => {
      const random = randomFrom(seed);
      const cases = Array.from({ length: CASES }, () => randomCase(random));
      let candidates = 0;
      let first = 0;
      for (let start = 0; start < cases.length; start += IN_ONE_RUN) {
        const batch = cases.slice(start, start + IN_ONE_RUN);
        const voltageV = voltagesFromNgspice(
          batch.flatMap((one, index) => circuitOf(one, index)),
          batch.flatMap(({ bus }, index) =>
            bus.landings.flatMap((landing) => namesAt(index, landing.index)),
          ),
        );
        batch.forEach((one, index) => {
          const { groups } = diagnosisOf(
            observedSite(one.site, [...countsOf(one), ...readingsOf(one, index, voltageV, random)]),
            one.predictor,
          );
          const holds = groups.map((group) =>
            group.candidates.some(({ faults }) => faultKey(faults[0]!) === faultKey(one.fault)),
          );
          expect(holds.includes(true), faultKey(one.fault)).toBe(true);
          candidates += holds.includes(true) ? 1 : 0;
          first += holds[0] === true ? 1 : 0;
        });
      }
      console.log(
        `${CASES} lines from ngspice, readings ${100 * METER_ERROR} % off at most, FERRULE_SEED=${seed}: ` +
          `candidate ${candidates}, in the first group ${((100 * first) / CASES).toFixed(1)} %`,
      );
      expect(candidates).toBe(CASES);
      expect(first / CASES).toBeGreaterThanOrEqual(LEAST_IN_FIRST_GROUP);
    },
  );
});

interface Case {
  readonly site: Site;
  readonly predictor: Predictor;
  readonly bus: Bus;
  readonly fault: Fault;
}

/** A fault that shows on the pair of one unit line. */
function randomCase(random: Random): Case {
  const site = commissionedSite(random);
  const predictor = new Predictor(site);
  const bus = site.buses.get('line-1')!;
  const head = bus.landings[0]!.device;
  const fault = random.pick(
    possibleFaults(site).filter((one) => {
      switch (one.kind) {
        case 'segment-cut':
          return one.at.of === 'run' && one.at.run === bus.name;
        case 'terminator-missing':
        case 'terminator-extra':
        case 'pair-swapped':
          return one.at.bus === bus.name;
        case 'device-dead':
          return one.device === head;
        default:
          return false;
      }
    }),
  );
  return { site, predictor, bus, fault };
}

/** Of the heads, in V between lines. */
const MAINS_V = 400;

/** What each controller lists, and whether the head of the line has mains, by the plain simulation. */
function countsOf({ site, predictor, bus, fault }: Case): readonly Looked[] {
  const whole = new Plant(site, undefined);
  const plant = new Plant(site, fault);
  const mains = `${bus.landings[0]!.device}.mains`;
  return predictor.looks.flatMap((look): readonly Looked[] => {
    if (look.kind === 'voltage' && look.at === mains) {
      const volts = plant.hasVoltage(mains) ? MAINS_V : 0;
      return [{ look, sight: { kind: 'reading', low: volts, high: volts } }];
    }
    if (look.kind !== 'units') {
      return [];
    }
    const controller = site.devices.get(look.controller)!;
    const found = plant.found(controller);
    const units = new Set([...whole.found(controller)].filter((unit) => !found.has(unit)));
    return [{ look, sight: { kind: 'missing', units } }];
  });
}

/** Resistance and idle voltage at every port of the line, as a meter of limited accuracy shows them. */
function readingsOf(
  { predictor, bus, fault }: Case,
  index: number,
  voltageV: ReadonlyMap<string, number>,
  random: Random,
): readonly Looked[] {
  return bus.landings.flatMap((landing): readonly Looked[] => {
    const [a, b, o] = namesAt(index, landing.index);
    const port = `${landing.device}.${landing.member}`;
    const isTurned = fault.kind === 'pair-swapped' && fault.at.index === landing.index;
    const idleV = (voltageV.get(a!)! - voltageV.get(b!)!) * (isTurned ? -1 : 1);
    const shown = { ohm: voltageV.get(o!)! / TEST_CURRENT_A, idle: idleV };
    return (['ohm', 'idle'] as const).flatMap((kind): readonly Looked[] => {
      const look = predictor.looks.find((one) => lookKey(one) === `${kind} ${port}`)!;
      const value = shown[kind] * (1 + random.between(-METER_ERROR, METER_ERROR));
      return [{ look, sight: { kind: 'reading', low: value, high: value } }];
    });
  });
}

/** A meter sends a small current through what it measures. */
const TEST_CURRENT_A = 1e-3;
/** Insulation: what is left between two wires that are joined by nothing. */
const INSULATION_OHM = 1e6;

function namesAt(index: number, landing: number): readonly string[] {
  return ['a', 'b']
    .map((wire) => `${wire}${index}_${landing}`)
    .concat(`m${index}_${landing}_${landing}`);
}

/** The idle line with both its wires, and beside it the same line without power for a meter at each port. */
function circuitOf({ site, bus, fault }: Case, index: number): readonly string[] {
  const plant = new Plant(site, fault);
  const isOpen = (position: number): boolean =>
    fault.kind === 'segment-cut' && fault.at.of === 'run' && fault.at.position === position;
  const isTerminated = (landing: number): boolean => {
    const isHere =
      (fault.kind === 'terminator-missing' || fault.kind === 'terminator-extra') &&
      fault.at.index === landing;
    return isHere ? fault.kind === 'terminator-extra' : bus.landings[landing]!.terminated;
  };
  const lines: string[] = [];
  for (const landing of bus.landings) {
    const id = `${index}_${landing.index}`;
    const [a, b] = [`a${id}`, `b${id}`];
    lines.push(`RX${id} ${a} ${b} ${RECEIVER_OHM}`, `RG${id} ${b} 0 ${INSULATION_OHM}`);
    if (isTerminated(landing.index)) {
      lines.push(`RT${id} ${a} ${b} ${TERMINATOR_OHM}`);
    }
    if (landing.index > 0 && !isOpen(landing.index - 1)) {
      const ohm = landing.lengthM! * OHM_PER_M_AT_40_C;
      lines.push(
        `RA${id} a${index}_${landing.index - 1} ${a} ${ohm}`,
        `RB${id} b${index}_${landing.index - 1} ${b} ${ohm}`,
      );
    }
    const bias = site.equipment
      .get(site.devices.get(landing.device)!.equipment)!
      .ports.find(({ name }) => name === landing.member)!.bias;
    if (bias !== undefined && plant.isSupplied(landing.device)) {
      const isTurned = fault.kind === 'pair-swapped' && fault.at.index === landing.index;
      const [up, down] = isTurned ? [b, a] : [a, b];
      lines.push(
        `V${id} s${id} 0 ${bias.volts}`,
        `RU${id} s${id} ${up} ${bias.ohm}`,
        `RD${id} ${down} 0 ${bias.ohm}`,
      );
    }
  }
  return [...lines, ...bus.landings.flatMap(({ index: at }) => meteredLine(at))];

  /** Both wires in one: the loop counts, and the meter stands between it and the common. */
  function meteredLine(at: number): readonly string[] {
    return [
      `I${index}_${at} 0 m${index}_${at}_${at} ${TEST_CURRENT_A}`,
      ...bus.landings.flatMap((landing) => {
        const id = `${index}_${at}_${landing.index}`;
        return [
          `RI${id} m${id} 0 ${INSULATION_OHM}`,
          ...(isTerminated(landing.index) ? [`RM${id} m${id} 0 ${TERMINATOR_OHM}`] : []),
          ...(landing.index > 0 && !isOpen(landing.index - 1)
            ? [
                `RL${id} m${index}_${at}_${landing.index - 1} m${id} ${2 * landing.lengthM! * OHM_PER_M_AT_40_C}`,
              ]
            : []),
        ];
      }),
    ];
  }
}
