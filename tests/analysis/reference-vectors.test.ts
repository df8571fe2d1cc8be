/** Every published or independently computed value in tests/reference/vectors.json, by its id and source. */
import { describe, expect, it } from 'vitest';
import {
  annexGDropV,
  conductorLengths,
  solveApparentPowerLoad,
} from '../../src/analysis/electrical/alternating.js';
import {
  atTemperature,
  gaugeAreaMm2,
  gaugeDiameterMm,
  gaugeResistance,
  loopResistanceOhm,
  tabulatedResistance,
  temperatureFactor,
} from '../../src/analysis/electrical/conductors.js';
import {
  idleVoltages,
  largestBiasResistanceOhm,
  meterResistance,
  signalVoltages,
} from '../../src/analysis/electrical/signal.js';
import type { Line, LinePoint, LineTerminator } from '../../src/analysis/electrical/signal.js';
import { collapseMargin, solveNetwork } from '../../src/analysis/electrical/solve-network.js';
import {
  characterTimeS,
  interCharacterTimeS,
  interFrameTimeS,
  pollCycleS,
  pollTimeS,
  tokenLoop,
} from '../../src/analysis/electrical/timing.js';
import { laptopAddress } from '../../src/analysis/network/free-hosts.js';
import {
  addressCount,
  broadcastAddress,
  formatAddress,
  formatSubnet,
  highestAddress,
  hostRange,
  maskOf,
  parseAddress,
  parseInterface,
} from '../../src/analysis/network/ipv4.js';
import vectors from '../reference/vectors.json' with { type: 'json' };
import { chainNetwork, operatingPointOf, withPowerFactor } from '../support/networks.js';
import type { WrittenLoad } from '../support/networks.js';

type Json = string | number | null | readonly Json[] | { readonly [key: string]: Json };
type Values = Readonly<Record<string, Json>>;

interface Vector {
  readonly id: string;
  readonly kind: string;
  readonly inputs: Values;
  readonly expect: Values;
  readonly tol: number;
  readonly source: string;
  readonly sure: string;
}

/** Computes, from the inputs of a vector, a value for each name that it expects. */
type Computation = (inputs: Values, expected: Values) => Readonly<Record<string, unknown>>;

const computations: Readonly<Record<string, Computation>> = {
  table: ({ cls, mm2 }) => ({
    ohmPerKm: tabulatedResistance(Number(mm2), Number(cls))?.ohmPerKm,
  }),

  awg: ({ awg }) => {
    const resistance = gaugeResistance(Number(awg))!;
    return {
      diameterMm: gaugeDiameterMm(Number(awg)),
      areaMm2: gaugeAreaMm2(Number(awg)),
      ohmPerKm20: resistance.ohmPerKm,
      ohmPerKm75: atTemperature(resistance, 75).ohmPerKm,
    };
  },

  tempFactor: ({ tempC }) => ({ factor: temperatureFactor(Number(tempC)) }),

  dcSingle: ({ vs, mm2ohmPerKm, lengthM, tempC, currentA }) => {
    const at20 = { ohmPerKm: Number(mm2ohmPerKm), temperatureC: 20 };
    const { ohmPerKm } = atTemperature(at20, Number(tempC));
    const rLoop = loopResistanceOhm(ohmPerKm, Number(lengthM));
    const point = operatingPointOf(chainNetwork([rLoop], [['I', Number(currentA)]], [Number(vs)]));
    const vLoad = point.nodes[1]!.voltageV;
    const drop = Number(vs) - vLoad;
    return { rLoop, drop, vLoad, pct: (100 * drop) / Number(vs) };
  },

  dcConstPower: ({ vs, r, p }) => {
    const network = chainNetwork([Number(r)], [['P', Number(p)]], [Number(vs)]);
    const solution = solveNetwork(network);
    if (solution.kind !== 'operating-point') {
      return { v: solution.kind === 'no-operating-point' ? null : solution };
    }
    const i = solution.sources[0]!.currentA;
    const margin = collapseMargin(network);
    return {
      v: solution.nodes[1]!.voltageV,
      i,
      pSource: Number(vs) * i,
      pMax: margin.kind === 'factor' ? margin.factor * Number(p) : margin.kind,
    };
  },

  chain: ({ vs, seg, loads }) => {
    const solution = solveNetwork(
      chainNetwork(seg as number[], loads as unknown as WrittenLoad[], [Number(vs)]),
    );
    if (solution.kind !== 'operating-point') {
      return { v: solution.kind === 'no-operating-point' ? null : solution };
    }
    const v = solution.nodes.slice(1).map((node) => node.voltageV);
    return { v, vLast: v.at(-1), iSource: solution.sources[0]!.currentA };
  },

  chainCritical: ({ vs, seg, n }) => {
    const loads = Array.from({ length: Number(n) }, (): WrittenLoad => ['P', 1]);
    const network = chainNetwork(seg as number[], loads, [Number(vs)]);
    const margin = collapseMargin(network);
    if (margin.kind !== 'factor') {
      return { pCriticalEach: margin.kind };
    }
    const point = operatingPointOf(withPowerFactor(network, margin.factor));
    return { pCriticalEach: margin.factor, vEndAtNose: point.nodes.at(-1)!.voltageV };
  },

  twoWay: ({ va, vb, seg, loads }) => {
    const point = operatingPointOf(
      chainNetwork(seg as number[], loads as unknown as WrittenLoad[], [Number(va), Number(vb)]),
    );
    return {
      ia: point.sources[0]!.currentA,
      ib: point.sources[1]!.currentA,
      v: point.nodes.slice(1, -1).map((node) => node.voltageV),
    };
  },

  iecDrop: ({ b, L, S, cos, I }) => {
    expect(b).toBe(conductorLengths('single-phase'));
    return {
      u: annexGDropV({
        run: 'single-phase',
        lengthM: Number(L),
        areaMm2: Number(S),
        currentA: Number(I),
        powerFactor: Number(cos),
      }),
    };
  },

  acConstVA: ({ vs, r, x, S, pf }) => {
    const point = solveApparentPowerLoad({
      sourceVoltageV: Number(vs),
      resistanceOhm: Number(r),
      reactanceOhm: Number(x),
      apparentPowerVA: Number(S),
      powerFactor: Number(pf),
    });
    return point.kind === 'operating-point'
      ? { v: point.voltageV, i: point.currentA, angleDeg: point.angleDeg }
      : { v: null };
  },

  biasMax: ({ vcc, vab, terms, ul }) => {
    const terminators = resistors(terms as number[]);
    const rEach = largestBiasResistanceOhm(Number(ul), terminators, Number(vcc), Number(vab));
    return { rEach, iMa: (1000 * (Number(vcc) - Number(vab))) / (2 * rEach) };
  },

  biasIdle: ({ vcc, rb, terms, ul }) => {
    const bias = { resistanceEachOhm: Number(rb), supplyV: Number(vcc) };
    const point = linePoint('head', Number(ul), resistors(terms as number[]), [bias]);
    const idle = idleVoltages({ points: [point], sections: [] });
    return { vab: idle.known ? idle.worst.voltageV : idle.reason };
  },

  attenuation: ({ vd, ohmPerKm, L, rt }) => {
    const line = twoPointLine(Number(ohmPerKm), Number(L), [], resistors([Number(rt)]));
    const signal = signalVoltages(line, 'head', Number(vd));
    return { vFar: signal.known ? signal.worst.voltageV : signal.reason };
  },

  headResistance: ({ ohmPerKm, L }) => {
    const line = twoPointLine(Number(ohmPerKm), Number(L), resistors([120]), resistors([120]));
    const reading = meterResistance(line, 'head');
    return { ohm: reading.known ? reading.resistanceOhm : reading.reason };
  },

  modbusTimers: ({ baud, bits }) => ({
    tCharMs: 1000 * characterTimeS(Number(baud), Number(bits)),
    t15Ms: 1000 * interCharacterTimeS(Number(baud)),
    t35Ms: 1000 * interFrameTimeS(Number(baud)),
  }),

  modbusTransaction: (inputs) => ({ ms: 1000 * pollTimeS(Number(inputs['baud']), pollOf(inputs)) }),

  modbusCycle: (inputs) => {
    const { baud, alive, dead, timeoutMs, retries } = inputs;
    const polls = (count: Json | undefined) =>
      Array.from({ length: Number(count) }, () => pollOf(inputs));
    const patience = { timeoutS: Number(timeoutMs) / 1000, retries: Number(retries) };
    return { s: pollCycleS(Number(baud), polls(alive), polls(dead), patience) };
  },

  mstpLoop: ({ baud, nodes }) => {
    const loop = tokenLoop(Number(baud), Number(nodes));
    return { minMs: 1000 * loop.fastestS, maxMs: 1000 * loop.slowestS };
  },

  mbus: ({ unitLoads, rLoop, vMaster }) => {
    // EN 13757-2: a unit load is 1.5 mA; a space is 12 V below the mark.
    const load: WrittenLoad = ['I', 0.0015 * Number(unitLoads)];
    const at = (voltageV: number): number =>
      operatingPointOf(chainNetwork([Number(rLoop)], [load], [voltageV])).nodes[1]!.voltageV;
    return { vMark: at(Number(vMaster)), vSpace: at(Number(vMaster) - 12) };
  },

  daliLength: ({ mm2, ohmPerKm }, { maxM }) => {
    // At the published length 250 mA drop 2 V, so the length follows from the drop of one metre.
    const { ohmPerKm: tabulated } = tabulatedResistance(Number(mm2), 5)!;
    expect(tabulated).toBe(ohmPerKm);
    const point = operatingPointOf(
      chainNetwork([loopResistanceOhm(tabulated, Number(maxM))], [['I', 0.25]], [16]),
    );
    return { maxM: (Number(maxM) * 2) / (16 - point.nodes[1]!.voltageV) };
  },

  ipv4: ({ cidr }) => {
    const read = parseInterface(String(cidr));
    if (!read.ok) {
      return { network: read.problem };
    }
    const { subnet } = read.value;
    const { first, last } = hostRange(subnet);
    // The reference library calls the last address of /31 and /32 broadcast; neither has one.
    expect(broadcastAddress(subnet) === undefined).toBe(subnet.prefixLength > 30);
    return {
      network: formatSubnet(subnet),
      netmask: formatAddress(maskOf(subnet.prefixLength)),
      broadcast: formatAddress(highestAddress(subnet)),
      first: formatAddress(first),
      last: formatAddress(last),
      num: addressCount(subnet),
    };
  },

  laptop: ({ net, taken, pools, gateway }) => {
    const { subnet } = readInterface(String(net));
    const chosen = laptopAddress(subnet, {
      taken: [...(taken as string[]), ...(gateway === null ? [] : [String(gateway)])].map(
        readAddress,
      ),
      pools: (pools as unknown as [string, string][]).map(([first, last]) => ({
        first: readAddress(first),
        last: readAddress(last),
      })),
    });
    return { address: chosen === undefined ? null : formatAddress(chosen) };
  },
};

describe('reference values', () => {
  const all = vectors as unknown as readonly Vector[];

  it('are all there, each with an id of its own', () => {
    expect(new Set(all.map((vector) => vector.id)).size).toBe(134);
  });

  for (const vector of all) {
    it(`${vector.id}: ${vector.source} (${vector.sure})`, () => {
      const computed = computations[vector.kind]!(vector.inputs, vector.expect);
      let compared = 0;
      for (const [name, expected] of Object.entries(vector.expect)) {
        if (name === 'necTable8SolidOhmPerKm75') {
          compareWithTable8(expected, computed['ohmPerKm75'] as number);
        } else {
          compare(`${vector.id} ${name}`, computed[name], expected, vector.tol);
        }
        compared += 1;
      }
      expect(compared).toBeGreaterThan(0);
    });
  }
});

/**
 * Compares numbers relative to the expected one, lists item by item, anything else exactly. Small
 * numbers that are printed with few digits may be off by half of the last one.
 */
function compare(what: string, computed: unknown, expected: Json, tolerance: number): void {
  if (Array.isArray(expected)) {
    expect(computed, what).toHaveLength(expected.length);
    expected.forEach((item: Json, index) => {
      compare(`${what}[${index}]`, (computed as unknown[])[index], item, tolerance);
    });
  } else if (typeof expected === 'number' && tolerance > 0) {
    expect(typeof computed, what).toBe('number');
    const difference = Math.abs((computed as number) - expected);
    const printedDecimals = String(expected).split('.')[1]?.length ?? 0;
    const halfLastDigit = Math.min(0.5 * 10 ** -printedDecimals, tolerance);
    const allowed = Math.max(tolerance * Math.abs(expected), halfLastDigit);
    expect(difference, `${what}: ${String(computed)} for ${expected}`).toBeLessThanOrEqual(allowed);
  } else {
    expect(computed, what).toBe(expected);
  }
}

/** NEC chapter 9 table 8 prints three digits; the formula meets them within 0.5 %. */
function compareWithTable8(published: Json, computedOhmPerKm: number): void {
  if (published !== null) {
    compare('NEC table 8', computedOhmPerKm, published, 0.005);
  }
}

function pollOf({ reqBytes, respBytes, tProcMs }: Values) {
  return {
    requestBytes: Number(reqBytes),
    replyBytes: Number(respBytes),
    processS: Number(tProcMs) / 1000,
  };
}

function resistors(ohms: readonly number[]): readonly LineTerminator[] {
  return ohms.map((resistanceOhm) => ({ kind: 'resistor', resistanceOhm }));
}

function linePoint(
  id: string,
  unitLoads: number,
  terminators: readonly LineTerminator[],
  biases: LinePoint['biases'] = [],
): LinePoint {
  return { id, unitLoads, terminators, biases };
}

function twoPointLine(
  ohmPerKm: number,
  lengthM: number,
  headTerminators: readonly LineTerminator[],
  farTerminators: readonly LineTerminator[],
): Line {
  return {
    points: [linePoint('head', 0, headTerminators), linePoint('far', 0, farTerminators)],
    sections: [
      { from: 'head', to: 'far', loopResistanceOhm: loopResistanceOhm(ohmPerKm, lengthM) },
    ],
  };
}

function readInterface(text: string) {
  const read = parseInterface(text);
  if (!read.ok) {
    throw new Error(`${text}: ${read.problem}`);
  }
  return read.value;
}

function readAddress(text: string): number {
  const read = parseAddress(text);
  if (!read.ok) {
    throw new Error(`${text}: ${read.problem}`);
  }
  return read.value;
}
