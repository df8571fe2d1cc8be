/**
 * Buses of open standards as bus types: what each standard publishes comes out of the same engine
 * that judges every other bus. Sources beside each check; which were read only in copies is said in
 * library/open-buses.ferrule.
 */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { inProject } from '../../scripts/lib/root.mjs';
import { factOf } from '../../src/analysis/facts.js';
import { counted, lines, siteOf } from '../support/site.js';
import type { TestSite } from '../support/site.js';

const openBuses = readFileSync(inProject('library/open-buses.ferrule'), 'utf8');

/** Cables by IEC 60228 and by gauge; no reels, because nothing is ordered here. */
const CABLES = `
cable Class1-0v5 { cores 2 x 0.5 mm2 class 1  rated 300 V }
cable Class5-0v5 { cores 2 x 0.5 mm2 class 5  rated 300 V }
cable Class5-0v75 { cores 2 x 0.75 mm2 class 5  rated 300 V }
cable Class5-1v0 { cores 2 x 1.0 mm2 class 5  rated 300 V }
cable Class5-1v5 { cores 2 x 1.5 mm2 class 5  rated 300 V }
cable Pair-18 { cores 2 x 18 AWG  screened twisted }
cable Three-24 { cores 3 x 24 AWG  colours YE, BN, GY  screened twisted }
cable Three-28 { cores 3 x 28 AWG  colours YE, BN, GY  screened twisted }
`;

/** A site that uses the bus types, with figures of them replaced where a test needs other ones. */
function openSite(text: string, replace: readonly (readonly [string, string])[] = []): TestSite {
  const types = replace.reduce((before, [from, to]) => {
    expect(before).toContain(from);
    return before.replaceAll(from, to);
  }, openBuses);
  return siteOf(`use "./open-buses.ferrule"\n${CABLES}\n${text}`, { 'open-buses.ferrule': types });
}

/** The rules that speak about the site, but for equipment and cables that one case leaves unused. */
function rulesOf(site: TestSite): readonly string[] {
  return [...new Set(wrong(site).map(({ finding }) => finding.rule))].sort();
}

function wrong({ findings }: TestSite) {
  return counted(findings).filter(({ finding }) => finding.rule !== 'template-unused');
}

function value({ site }: TestSite, subject: string, fact: string): number {
  const found = factOf(site, subject, fact);
  expect(found?.value, `${subject}.${fact}`).toEqual(expect.any(Number));
  return found?.value as number;
}

/** Declares devices of one equipment, from 1, each with its address. */
function devices(equipment: string, count: number, addressOf = (number: number) => number): string {
  return numbers(count)
    .map((number) => `device D-${number} : ${equipment} { address ${addressOf(number)} }`)
    .join('\n');
}

function numbers(count: number): readonly number[] {
  return Array.from({ length: count }, (_, index) => index + 1);
}

/** A bus from a head over D-1 … D-n; `lengthM` gives the cable that leads to each. */
function chain(
  header: string,
  head: string,
  count: number,
  lengthM: (number: number) => number,
  flags = { head: '', last: '' },
): string {
  const landings = numbers(count).map(
    (number) => `  land D-${number}.p ${lengthM(number)} m ${number === count ? flags.last : ''}`,
  );
  return `bus line : ${header} {\n  land ${head} ${flags.head}\n${landings.join('\n')}\n}`;
}

describe('Modbus over Serial Line V1.02 (full text read)', () => {
  const EQUIPMENT = `
equipment Head { role site-controller  port p : ModbusLine terminals D0, D1, COM as controller { unit-load 1  bias 650 ohm 5 VDC  addressed none } }
equipment Unit { role meter  port p : ModbusLine terminals D0, D1, COM as responder { unit-load 1  poll 8 bytes reply 25 bytes  process 20 ms } }
device HEAD : Head
`;
  const terminated = { head: 'terminated bonded', last: 'terminated' };
  const modbus = (
    count: number,
    lengthM: (number: number) => number,
    more = '',
    replace: readonly (readonly [string, string])[] = [],
  ) =>
    openSite(
      `${EQUIPMENT}${devices('Unit', count)}\n${chain('ModbusLine using Three-24', 'HEAD.p', count, lengthM, terminated)}\n${more}`,
      replace,
    );

  it('accepts a right line with a spur', () => {
    const site = openSite(`${EQUIPMENT}${devices('Unit', 4)}
bus line : ModbusLine using Three-24 {
  land HEAD.p terminated bonded
  land D-1.p 40 m
  land D-2.p 25 m { spur 20 m { land D-3.p } }
  land D-4.p 60 m terminated
}`);
    expect(lines(wrong(site))).toEqual([]);
  });

  it('has addresses 1 to 247: 0 is a broadcast and 248 to 255 are reserved (2.2)', () => {
    const addressed = (address: number) =>
      openSite(`${EQUIPMENT}${devices('Unit', 1, () => address)}
${chain('ModbusLine using Three-24', 'HEAD.p', 1, () => 10, terminated)}`);
    expect([1, 247].map((address) => rulesOf(addressed(address)))).toEqual([[], []]);
    for (const address of [0, 248, 255]) {
      expect(rulesOf(addressed(address))).toEqual(['address-out-of-range']);
    }
  });

  it('carries 32 devices without a repeater, and no 33rd (3.4.1)', () => {
    expect(rulesOf(modbus(31, () => 1))).toEqual([]);
    expect(rulesOf(modbus(32, () => 1))).toEqual(['bus-overcrowded', 'unit-load-exceeded']);
  });

  it('is 1000 m long at 9600 baud, with AWG 26 or wider (3.4.3, 3.6)', () => {
    expect(rulesOf(modbus(1, () => 400))).toEqual([]);
    // Biasing at the head alone does not reach the far end of a longer line: a finding of its own.
    expect(rulesOf(modbus(1, () => 1000))).not.toContain('bus-too-long');
    expect(rulesOf(modbus(1, () => 1000.5))).toContain('bus-too-long');
    const thin = openSite(`${EQUIPMENT}${devices('Unit', 1)}
${chain('ModbusLine using Three-28', 'HEAD.p', 1, () => 10, terminated)}`);
    expect(rulesOf(thin)).toEqual(['cable-unsuitable']);
  });

  it('has derivations of 20 m at most (3.4.3)', () => {
    const spur = (lengthM: number) =>
      openSite(`${EQUIPMENT}${devices('Unit', 2)}
bus line : ModbusLine using Three-24 {
  land HEAD.p terminated bonded
  land D-1.p 40 m terminated { spur ${lengthM} m { land D-2.p } }
}`);
    expect(rulesOf(spur(20))).toEqual([]);
    expect(rulesOf(spur(20.1))).toEqual(['stub-too-long']);
  });

  it('idles at 0.23401 V with 28 unit loads and at 0.22936 V with 32 (C2, 3.4.5 and 3.4.6)', () => {
    expect(
      value(
        modbus(27, () => 0),
        'line',
        'idle-voltage',
      ),
    ).toBeCloseTo(0.234009, 5);
    expect(
      value(
        modbus(31, () => 0),
        'line',
        'idle-voltage',
      ),
    ).toBeCloseTo(0.229358, 5);
  });

  it('idles too low with terminators of 120 ohm and 32 unit loads: 0.19133 V (C2)', () => {
    const site = modbus(31, () => 0, '', [['both-ends 150 ohm', 'both-ends 120 ohm']]);
    expect(value(site, 'line', 'idle-voltage')).toBeCloseTo(0.191327, 5);
    expect(rulesOf(site)).toEqual(['idle-bias-insufficient']);
  });

  it.each([
    [9600, 65.8333],
    [19_200, 42.9167],
    [38_400, 32.9531],
    [115_200, 26.651],
  ])('hears one device of ten registers at %i baud in %d ms (C7)', (rate, ms) => {
    const site = modbus(1, () => 10, '', [['rate 9600 baud', `rate ${rate} baud`]]);
    expect(value(site, 'line', 'scan-time') * 1000).toBeCloseTo(ms, 3);
  });

  it('polls 30 devices in 1.975 s at 9600 baud, and is too slow for less (C7)', () => {
    const within = (s: string) =>
      modbus(30, () => 1, '', [
        ['  screen bonded one-end\n}\n\n/// The token', `  scan within ${s} s\n}\n\n/// The token`],
      ]);
    expect(value(within('1.98'), 'line', 'scan-time')).toBeCloseTo(1.975, 4);
    expect(rulesOf(within('1.98'))).toEqual([]);
    expect(rulesOf(within('1.97'))).toEqual(['scan-too-slow']);
  });

  it('loses too little on 1200 m of AWG 24 for the length to be a matter of direct current (C3, C5)', () => {
    // The published 1200 m come from rise times; what the cable takes leaves 0.56 V of 1.5 V.
    const site = modbus(1, () => 1200, 'site S { conductor-temperature 20 C }');
    const signalV = value(site, 'line', 'far-signal');
    expect(signalV).toBeGreaterThan(0.5);
    expect(rulesOf(site)).not.toContain('signal-insufficient');
    expect(rulesOf(site)).toContain('bus-too-long');
  });
});

describe('the token link of ASHRAE 135 clause 9 (constants read in an open implementation)', () => {
  const EQUIPMENT = `
equipment Manager { role zone-controller  port p : TokenLine terminals P, N as controller { unit-load 1  max-master 127 } }
equipment Biased { role zone-controller  port p : TokenLine terminals P, N as controller { unit-load 1  max-master 127  bias 510 ohm 5 VDC } }
equipment Subordinate { role sensor  port p : TokenLine terminals P, N as responder { unit-load 1 } }
`;
  const terminated = { head: 'terminated bonded', last: 'terminated' };
  const token = (
    managers: number,
    lengthM: number,
    replace: readonly (readonly [string, string])[] = [],
  ) =>
    openSite(
      `${EQUIPMENT}device HEAD : Biased { address 0 }
${devices('Manager', managers - 1)}
${chain('TokenLine using Pair-18', 'HEAD.p', managers - 1, () => lengthM, terminated)}`,
      replace,
    );

  it('accepts a right line', () => {
    expect(lines(wrong(token(4, 30)))).toEqual([]);
  });

  it.each([
    [9600, 0.746667],
    [19_200, 0.613333],
    [38_400, 0.546667],
    [76_800, 0.513333],
    [115_200, 0.502222],
  ])('takes the token round 32 managers at %i baud in %d s (C8)', (rate, seconds) => {
    const site = token(32, 1, [['rate 38400 baud', `rate ${rate} baud`]]);
    expect(value(site, 'line', 'scan-time')).toBeCloseTo(seconds, 6);
    expect(rulesOf(site)).toEqual([]);
  });

  it('is judged by the slowest empty round: 32 managers at 38400 baud keep 0.55 s and not 0.54 s', () => {
    const within = (text: string) =>
      token(32, 1, [['within 1 s by token', `within ${text} by token`]]);
    expect(rulesOf(within('0.55 s'))).toEqual([]);
    expect(rulesOf(within('0.54 s'))).toEqual(['scan-too-slow']);
  });

  it('is 1200 m long and takes 32 unit loads', () => {
    expect(rulesOf(token(2, 1200))).not.toContain('bus-too-long');
    expect(rulesOf(token(2, 1201))).toContain('bus-too-long');
    expect(rulesOf(token(33, 1))).toEqual([
      'bus-controller-duplicate',
      'bus-overcrowded',
      'unit-load-exceeded',
    ]);
  });

  it('has 254 as its highest address', () => {
    const addressed = (address: number) =>
      openSite(`${EQUIPMENT}device HEAD : Biased { address 0 }
device D-1 : Subordinate { address ${address} }
${chain('TokenLine using Pair-18', 'HEAD.p', 1, () => 10, terminated)}`);
    expect(rulesOf(addressed(254))).toEqual([]);
    expect(rulesOf(addressed(255))).toEqual(['address-out-of-range']);
  });
});

describe('the meter bus of EN 13757-2 (read in copies)', () => {
  const EQUIPMENT = `
equipment Master { role gateway  inlet mains 230 VAC 0.2 A double-insulated  port p : MeterLine terminals M1, M2 as controller { gives 36 VDC up to 375 mA  addressed none } }
equipment Meter { role meter  port p : MeterLine terminals M1, M2 as responder { takes 1.5 mA } }
board B { way W1 230 VAC 6 A }
device HEAD : Master { inlet mains from B.W1 }
`;
  /** 350 m of 0.5 mm2 class 5 have 27.3 ohm at 20 °C and 29 ohm at this temperature. */
  const temperatureC = 20 + (29 / 27.3 - 1) / 0.00393;
  const lumped = (
    meters: number,
    replace: readonly (readonly [string, string])[] = [],
    headV = 36,
  ) =>
    openSite(
      `site S { conductor-temperature ${temperatureC.toFixed(9)} C }
${EQUIPMENT.replace('gives 36', `gives ${headV}`)}${devices('Meter', meters)}
${chain('MeterLine using Class5-0v5', 'HEAD.p', meters, (number) => (number === 1 ? 350 : 0))}`,
      replace,
    );
  /** While the master sends, it holds 12 V less. */
  const sending: readonly (readonly [string, string])[] = [
    ['power 36 VDC minimum 24 VDC', 'power 24 VDC minimum 12 VDC'],
  ];

  it.each([
    [60, 33.39, 21.39],
    [250, 25.125, 13.125],
  ])(
    'leaves %i meters behind 29 ohm %d V at rest and %d V while it sends (D1)',
    (meters, restV, sendV) => {
      const rest = lumped(meters);
      expect(value(rest, `D-${meters}.p`, 'voltage')).toBeCloseTo(restV, 6);
      expect(value(lumped(meters, sending, 24), `D-${meters}.p`, 'voltage')).toBeCloseTo(sendV, 6);
      expect(rulesOf(rest)).toEqual([]);
      expect(rulesOf(lumped(meters, sending, 24))).toEqual([]);
    },
  );

  it('says the same of both states: 24 V at rest are 12 V while it sends', () => {
    const one = (
      milliamperes: number,
      replace: readonly (readonly [string, string])[],
      headV: number,
    ) =>
      openSite(
        `site S { conductor-temperature ${temperatureC.toFixed(9)} C }
${EQUIPMENT.replace('gives 36 VDC up to 375 mA', `gives ${headV} VDC up to 500 mA`).replace('takes 1.5 mA', `takes ${milliamperes} mA`)}${devices('Meter', 1)}
${chain('MeterLine using Class5-0v5', 'HEAD.p', 1, () => 350)}`,
        replace,
      );
    // 12 V over 29 ohm are 413.8 mA.
    expect([one(413, [], 36), one(413, sending, 24)].map(rulesOf)).toEqual([[], []]);
    expect([one(414, [], 36), one(414, sending, 24)].map(rulesOf)).toEqual([
      ['bus-power-undervoltage'],
      ['bus-power-undervoltage'],
    ]);
  });

  it('has 250 meters, 350 m to the farthest and 1000 m in all', () => {
    const even = (meters: number, stepM: number) =>
      openSite(`${EQUIPMENT}${devices('Meter', meters)}
${chain('MeterLine using Class5-1v5', 'HEAD.p', meters, () => stepM)}`);
    expect(rulesOf(even(250, 1.4))).toEqual([]);
    expect(rulesOf(even(250, 1.5))).toEqual(['bus-farthest-too-far']);
    expect(rulesOf(even(251, 1))).toEqual([
      'address-out-of-range',
      'bus-overcrowded',
      'bus-power-overloaded',
    ]);
    const star = (armM: number) =>
      openSite(`${EQUIPMENT}${devices('Meter', 3)}
bus line : MeterLine using Class5-1v5 {
  land HEAD.p { spur ${armM} m { land D-1.p }  spur ${armM} m { land D-2.p }  spur ${armM} m { land D-3.p } }
}`);
    expect(rulesOf(star(333))).not.toContain('bus-too-long');
    expect(rulesOf(star(334))).toContain('bus-too-long');
  });

  it('allows a line, a tree and either wire on either terminal, and no ring', () => {
    const tree = openSite(`${EQUIPMENT}${devices('Meter', 5)}
equipment Box { role junction  port a : MeterLine terminals M1, M2 as neither }
device JOINT : Box
cable Coloured { cores 2 x 1.5 mm2 class 5  colours BK, WH }
bus line : MeterLine using Coloured {
  land HEAD.p
  land D-1.p 20 m
  land JOINT.a 5 m { spur 15 m { land D-2.p  land D-3.p 10 m cores WH, BK } }
  land D-4.p 12 m
  land D-5.p 12 m cores WH, BK
}`);
    expect(lines(wrong(tree))).toEqual([]);
    const ring = openSite(`${EQUIPMENT}${devices('Meter', 2)}
bus line : MeterLine using Class5-1v5 { land HEAD.p  land D-1.p 20 m  land D-2.p 20 m  ring 20 m }`);
    expect(rulesOf(ring)).toEqual(['bus-shape-unsupported']);
  });

  it('has one master', () => {
    const two = openSite(`${EQUIPMENT}${devices('Meter', 1)}
device HEAD-2 : Master { inlet mains from B.W1 }
bus line : MeterLine using Class5-1v5 { land HEAD.p  land D-1.p 20 m  land HEAD-2.p 20 m }`);
    expect(rulesOf(two)).toEqual(['bus-controller-duplicate', 'bus-source-duplicate']);
  });
});

describe('one segment of KNX twisted pair (EN 50090, read in summaries; 21 V and 10 mA from memory)', () => {
  const equipment = (limit = '640 mA') => `
equipment Supply { role supply  inlet mains 230 VAC 0.2 A double-insulated  port p : BuildingLine terminals BP, BM as neither { gives 30 VDC up to ${limit} } }
equipment Actuator { role other  port p : BuildingLine terminals BP, BM as controller { takes 10 mA } }
board B { way W1 230 VAC 6 A }
device HEAD : Supply { inlet mains from B.W1 }
`;
  /** 0.5 mm2 class 1 has 36.0 ohm/km: 72 ohm/km out and back. */
  const loaded = (count: number, lengthM: (number: number) => number, limit?: string) =>
    openSite(`site S { conductor-temperature 20 C }
${equipment(limit)}${devices('Actuator', count)}
${chain('BuildingLine using Class1-0v5', 'HEAD.p', count, lengthM)}`);

  it('leaves the last of 64 devices on 350 m 13.87 V where all stand at the end (D2)', () => {
    const site = loaded(64, (number) => (number === 1 ? 350 : 0));
    expect(value(site, 'D-64.p', 'voltage')).toBeCloseTo(13.872, 6);
    expect(rulesOf(site)).toEqual(['bus-power-undervoltage']);
  });

  it('leaves it 21.81 V where they are spread evenly: the place decides, not the total (D2)', () => {
    const site = loaded(64, () => 350 / 64);
    expect(value(site, 'D-64.p', 'voltage')).toBeCloseTo(21.81, 6);
    expect(rulesOf(site)).toEqual([]);
  });

  it.each(['160 mA', '320 mA', '640 mA'])(
    'takes as many devices as a supply of %s carries',
    (limit) => {
      const most = parseInt(limit, 10) / 10;
      expect(rulesOf(loaded(most, () => 1, limit))).toEqual([]);
      expect(rulesOf(loaded(most + 1, () => 1, limit))).toContain('bus-power-overloaded');
    },
  );

  it('has 64 devices, 350 m to the supply, 700 m between two devices and 1000 m in all', () => {
    expect(rulesOf(loaded(65, () => 1, '1 A'))).toEqual([
      'bus-controller-duplicate',
      'bus-overcrowded',
    ]);
    expect(rulesOf(loaded(1, () => 350))).toEqual([]);
    expect(rulesOf(loaded(1, () => 350.5))).toEqual(['bus-farthest-too-far']);
    const arms = (lengthsM: readonly number[]) =>
      openSite(`site S { conductor-temperature 20 C }
${equipment()}${devices('Actuator', lengthsM.length)}
bus line : BuildingLine using Class1-0v5 {
  land HEAD.p { ${lengthsM.map((lengthM, index) => `spur ${lengthM} m { land D-${index + 1}.p }`).join('  ')} }
}`);
    expect(rulesOf(arms([350, 350, 300]))).toEqual([]);
    expect(rulesOf(arms([350, 350, 301]))).toEqual(['bus-too-long']);
    // Two supplies, or one in the middle, keep 350 m to the supply while two devices lie 701 m apart.
    expect(rulesOf(arms([350, 351]))).toEqual(['bus-farthest-too-far']);
  });

  it('is a line, a star or a tree and never a ring', () => {
    const ring = openSite(`${equipment()}${devices('Actuator', 3)}
bus line : BuildingLine using Class1-0v5 { land HEAD.p  land D-1.p 9 m  land D-2.p 9 m  land D-3.p 9 m  ring 9 m }`);
    expect(rulesOf(ring)).toEqual(['bus-shape-unsupported']);
  });
});

describe('the lighting bus of IEC 62386-101 (read in summaries)', () => {
  const EQUIPMENT = `
equipment Supply { role supply  inlet mains 230 VAC 0.1 A double-insulated  port p : LightingLine terminals L1, L2 as neither { gives 16 VDC up to 250 mA } }
equipment Panel { role room-controller  port p : LightingLine terminals L1, L2 as controller { takes 6 mA  addressed none } }
equipment Gear { role other  inlet mains 230 VAC 0.2 A double-insulated  port p : LightingLine terminals L1, L2 as responder { takes 2 mA } }
equipment Load { role other  port p : LightingLine terminals L1, L2 as controller { takes 250 mA } }
board B { way W1 230 VAC 16 A }
device HEAD : Supply { inlet mains from B.W1 }
`;
  const gear = (count: number) =>
    numbers(count)
      .map((n) => `device D-${n} : Gear { address ${n - 1}  inlet mains from B.W1 }`)
      .join('\n');
  const atEnd = (cable: string, lengthM: number, temperatureC: number) =>
    openSite(`site S { conductor-temperature ${temperatureC} C }
${EQUIPMENT}device D-1 : Load { address 0 }
bus line : LightingLine using ${cable} { land HEAD.p  land D-1.p ${lengthM} m }`);

  it.each([
    ['Class5-0v5', 20, 102.564],
    ['Class5-0v75', 20, 153.846],
    ['Class5-1v0', 20, 205.128],
    ['Class5-1v5', 20, 300.752],
    ['Class5-1v5', 70, 251.354],
  ])('loses its 2 V on %s at %i °C after %d m (D3)', (cable, temperatureC, mostM) => {
    const within = atEnd(cable, mostM - 0.01, temperatureC);
    expect(16 - value(within, 'D-1.p', 'voltage')).toBeCloseTo(2, 3);
    expect(rulesOf(within)).not.toContain('bus-power-undervoltage');
    expect(rulesOf(atEnd(cable, mostM + 0.01, temperatureC))).toContain('bus-power-undervoltage');
  });

  it('keeps its published 300 m on 1.5 mm2 by resistance and by rule', () => {
    expect(rulesOf(atEnd('Class5-1v5', 300, 20))).toEqual([]);
    expect(rulesOf(atEnd('Class5-1v5', 300.5, 20))).toEqual(['bus-farthest-too-far']);
  });

  it('accepts a right tree of 64 gear and a panel that has no address among them', () => {
    const site = openSite(`${EQUIPMENT}${gear(64)}
device RC-1 : Panel
bus line : LightingLine using Class5-1v5 {
  land HEAD.p { spur 5 m { land RC-1.p } }
${numbers(64)
  .map((n) => `  land D-${n}.p 2 m`)
  .join('\n')}
}`);
    expect(lines(wrong(site))).toEqual([]);
    expect(value(site, 'line', 'load')).toBeCloseTo(0.134, 9);
  });

  it('has 64 addresses from 0, one supply and no ring', () => {
    const line = (count: number, rest: string) =>
      openSite(`${EQUIPMENT}${gear(count)}
device RC-1 : Panel
device HEAD-2 : Supply { inlet mains from B.W1 }
bus line : LightingLine using Class5-1v5 {
  land HEAD.p
  land RC-1.p 2 m
${numbers(count)
  .map((n) => `  land D-${n}.p 2 m`)
  .join('\n')}
${rest}
}`);
    expect(rulesOf(line(64, ''))).toEqual(['port-unlanded']);
    expect(rulesOf(line(65, ''))).toEqual(['address-out-of-range', 'port-unlanded']);
    expect(rulesOf(line(3, '  land HEAD-2.p 2 m'))).toEqual(['bus-source-duplicate']);
    expect(rulesOf(line(3, '  ring 6 m'))).toEqual(['bus-shape-unsupported', 'port-unlanded']);
  });

  it('carries 250 mA', () => {
    const loaded = (panels: number) =>
      openSite(`${EQUIPMENT}${gear(64)}
${numbers(panels)
  .map((n) => `device RC-${n} : Panel`)
  .join('\n')}
bus line : LightingLine using Class5-1v5 {
  land HEAD.p
${numbers(64)
  .map((n) => `  land D-${n}.p 1 m`)
  .join('\n')}
${numbers(panels)
  .map((n) => `  land RC-${n}.p 1 m`)
  .join('\n')}
}`);
    // 64 gear at 2 mA and 20 panels at 6 mA are 248 mA.
    expect(rulesOf(loaded(20))).toEqual([]);
    expect(rulesOf(loaded(21))).toEqual(['bus-power-overloaded']);
  });
});
