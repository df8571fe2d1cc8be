/** RS-485 figures of whole buses against the reference values: each stands with its source in vectors.json. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { factsOfBus } from '../../src/analysis/bus/facts.js';
import type { Fact } from '../../src/model/finding.js';
import { siteOf } from '../support/site.js';

interface Vector {
  readonly id: string;
  readonly kind: string;
  readonly inputs: Readonly<Record<string, never>>;
  readonly expect: Readonly<Record<string, number>>;
  readonly tol: number;
}

const vectors = JSON.parse(
  readFileSync(new URL('../reference/vectors.json', import.meta.url), 'utf8'),
) as readonly Vector[];

function ofKind<Inputs>(kind: string): (Omit<Vector, 'inputs'> & { inputs: Inputs })[] {
  const found = vectors.filter((vector) => vector.kind === kind);
  expect(found.length).toBeGreaterThan(0);
  return found as never;
}

function factsOf(text: string, bus = 'line'): ReadonlyMap<string, Fact> {
  const { site } = siteOf(text);
  return new Map(factsOfBus(site, site.buses.get(bus)!).map((fact) => [fact.fact, fact]));
}

function expectNear(fact: Fact | undefined, wanted: number, tolerance: number): void {
  expect(fact?.value).toBeTypeOf('number');
  expect(Math.abs((fact!.value as number) - wanted)).toBeLessThanOrEqual(tolerance * wanted);
}

/** A line over AWG conductors at 20 °C; the head biases it where an ohm value is given. */
function lineText(of: {
  readonly gauge: number;
  readonly terminatorOhm: number;
  readonly biasOhm?: number;
  readonly unitLoad: number;
  readonly landings: readonly string[];
}): string {
  const bias = of.biasOhm === undefined ? '' : `  bias ${of.biasOhm} ohm 5 VDC`;
  return `
bustype Line {
  conductors 2
  shape chain
  terminate both-ends ${of.terminatorOhm} ohm
  signal rs485 { rate 9600 baud }
}
cable Wire { cores 2 x ${of.gauge} AWG }
equipment Head { role zone-controller  port p : Line terminals A, B as controller { unit-load ${of.unitLoad}${bias} } }
equipment Node { role sensor  port p : Line terminals A, B as responder { unit-load ${of.unitLoad} } }
site S { conductor-temperature 20 C }
device H : Head
${of.landings.map((_, index) => `device N-${index + 1} : Node`).join('\n')}
bus line : Line using Wire {
  land H.p terminated
${of.landings.map((rest, index) => `  land N-${index + 1}.p ${rest}`).join('\n')}
}
`;
}

describe('the idle voltage of a bus', () => {
  for (const vector of ofKind<{ rb: number; terms: number[]; ul: number }>('biasIdle')) {
    it(`is the one of ${vector.id}`, () => {
      const { rb, terms, ul } = vector.inputs;
      const flagged =
        terms.length === 3 ? ['0 m terminated', '0 m terminated'] : ['0 m', '0 m terminated'];
      const landings = terms.length === 1 ? ['0 m', '0 m'] : flagged;
      const facts = factsOf(
        lineText({
          gauge: 24,
          terminatorOhm: terms[0]!,
          biasOhm: rb,
          unitLoad: 0,
          landings,
        }).replace('as responder { unit-load 0 }', `as responder { unit-load ${ul / 2} }`),
      );
      expect(facts.get('unit-loads')!.value).toBe(ul);
      expectNear(facts.get('idle-voltage'), vector.expect['vab']!, vector.tol);
    });
  }

  it('is taken at the far end of a long line that is biased at its head (confirmed with ngspice)', () => {
    const facts = (lengthM: number) =>
      factsOf(
        lineText({
          gauge: 24,
          terminatorOhm: 120,
          biasOhm: 560,
          unitLoad: 0,
          landings: [`${lengthM} m terminated`],
        }),
      );
    expectNear(facts(1000).get('idle-voltage'), 0.146327, 1e-4);
    expectNear(facts(500).get('idle-voltage'), 0.1858, 1e-3);
    expect(facts(1000).get('idle-voltage')!.margin).toBeLessThan(0);
  });

  it('is unknown without a bias, and says which line would make it known', () => {
    const fact = factsOf(
      lineText({ gauge: 24, terminatorOhm: 120, unitLoad: 1, landings: ['10 m terminated'] }),
    ).get('idle-voltage')!;
    expect(fact).toMatchObject({ value: null, basis: 'unknown' });
    expect(fact.needs).toContain('bias 560 ohm 5 VDC');
    expect(fact.needs).toContain('equipment Head');
  });
});

describe('the signal at the far end of a bus', () => {
  for (const vector of ofKind<{ ohmPerKm: number; L: number; rt: number }>('attenuation')) {
    it(`is the one of ${vector.id}`, () => {
      const { L, rt } = vector.inputs;
      const gauge = Number(vector.id.split('-')[2]);
      const facts = factsOf(
        lineText({ gauge, terminatorOhm: rt, unitLoad: 0, landings: [`${L} m terminated`] }),
      );
      expectNear(facts.get('far-signal'), vector.expect['vFar']!, vector.tol);
    });
  }

  it('falls with receivers along the line (32 unit loads spread over 1000 m, confirmed with ngspice)', () => {
    const landings = Array.from(
      { length: 31 },
      (_, index) => `32.258065 m${index === 30 ? ' terminated' : ''}`,
    );
    const text = lineText({ gauge: 24, terminatorOhm: 120, unitLoad: 1, landings });
    expectNear(factsOf(text).get('far-signal'), 0.54734, 1e-4);
  });
});

describe('the resistance at the head of a bus', () => {
  for (const vector of ofKind<{ L: number }>('headResistance')) {
    it(`is the one of ${vector.id}`, () => {
      const landings = [`${vector.inputs.L} m terminated`];
      const facts = factsOf(lineText({ gauge: 24, terminatorOhm: 120, unitLoad: 1, landings }));
      expectNear(facts.get('head-resistance'), vector.expect['ohm']!, vector.tol);
    });
  }

  it('is the terminator of the head alone where the far one is missing', () => {
    const facts = factsOf(
      lineText({ gauge: 24, terminatorOhm: 120, unitLoad: 1, landings: ['500 m'] }),
    );
    expectNear(facts.get('head-resistance'), 120, 1e-9);
  });

  it('is measured where the bus begins, over the cable to the far terminator', () => {
    const text = lineText({
      gauge: 24,
      terminatorOhm: 120,
      unitLoad: 1,
      landings: ['500 m terminated'],
    });
    const facts = factsOf(text.replace('land H.p terminated', 'land H.p'));
    expectNear(facts.get('head-resistance'), 204.2, 1e-3);
  });
});

describe('the scan time of a bus', () => {
  const polled = (baud: number, units: number, process = 'process 20 ms') => `
bustype Line { conductors 2  signal rs485 { rate ${baud} baud }  scan within 1 s }
equipment Head { role zone-controller  port p : Line terminals A, B as controller }
equipment Node { role sensor  port p : Line terminals A, B as responder { poll 8 bytes reply 25 bytes ${process} } }
device H : Head
${Array.from({ length: units }, (_, index) => `device N-${index} : Node`).join('\n')}
bus line : Line {
  land H.p
${Array.from({ length: units }, (_, index) => `  land N-${index}.p 5 m`).join('\n')}
}
`;

  for (const vector of ofKind<{ baud: number }>('modbusTransaction')) {
    it(`is the one of ${vector.id} for one responder`, () => {
      const fact = factsOf(polled(vector.inputs.baud, 1)).get('scan-time');
      expectNear(fact, vector.expect['ms']! / 1000, vector.tol);
      expect(fact!.basis).toBe('computed');
    });
  }

  it('adds up over 32 responders at 9600 baud: 2.1067 s', () => {
    expectNear(factsOf(polled(9600, 32)).get('scan-time'), 2.1067, 1e-4);
  });

  it('takes no time to answer where none is stated, and marks that', () => {
    const fact = factsOf(polled(9600, 1, '')).get('scan-time')!;
    expectNear(fact, 0.065833 - 0.02, 1e-3);
    expect(fact.basis).toBe('assumed');
  });

  it('is unknown where a responder has no poll data', () => {
    const text = polled(9600, 2).replace('poll 8 bytes reply 25 bytes process 20 ms', '');
    const fact = factsOf(text).get('scan-time')!;
    expect(fact.value).toBe(null);
    expect(fact.needs).toContain('poll 8 bytes');
  });

  for (const vector of ofKind<{ baud: number; nodes: number }>('mstpLoop')) {
    it(`is the slowest round of ${vector.id} by token`, () => {
      const { baud, nodes } = vector.inputs;
      const fact = factsOf(`
bustype Line { conductors 2  controllers 32  signal rs485 { rate ${baud} baud }  scan within 1 s by token }
equipment Head { role zone-controller  port p : Line terminals A, B as controller }
${Array.from({ length: nodes }, (_, index) => `device H-${index} : Head`).join('\n')}
bus line : Line {
  land H-0.p
${Array.from({ length: nodes - 1 }, (_, index) => `  land H-${index + 1}.p 5 m`).join('\n')}
}
`).get('scan-time');
      expectNear(fact, vector.expect['maxMs']! / 1000, vector.tol);
    });
  }

  it('crosses repeaters: the conversation is one', () => {
    const text = `
bustype Line { conductors 2  signal rs485 { rate 9600 baud }  scan within 1 s }
equipment Head { role zone-controller  port p : Line terminals A, B as controller }
equipment Node { role sensor  port p : Line terminals A, B as responder { poll 8 bytes reply 25 bytes  process 20 ms } }
equipment Amp {
  role repeater
  port a : Line terminals A, B as neither
  port b : Line terminals C, D as neither
  repeats a to b
}
device H : Head
device N-1 : Node
device N-2 : Node
device R : Amp
bus line : Line { land H.p  land N-1.p 5 m  land R.a 5 m }
bus more : Line { land R.b  land N-2.p 5 m }
`;
    expectNear(factsOf(text, 'line').get('scan-time'), 2 * 0.0658333, 1e-4);
    expectNear(factsOf(text, 'more').get('scan-time'), 2 * 0.0658333, 1e-4);
    expect(factsOf(text, 'line').get('drops')!.value).toBe(2);
    expect(factsOf(text, 'more').get('drops')!.value).toBe(1);
    expect(factsOf(text, 'more').get('total-length')!.value).toBe(5);
  });
});
