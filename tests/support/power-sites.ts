/**
 * Random feeds and powered buses as text, each with the network that a person would draw for it by
 * hand: resistances from a table of their own, no code of the analysis under test.
 */
import type { Branch, Load, Network, NetworkNode } from '../../src/analysis/electrical/network.js';
import type { Random } from './random.js';

/** A site as text, the network behind it, and for each inlet or port its node. */
export interface PowerCase {
  readonly text: string;
  readonly network: Network;
  /** `ZC-1.supply` → index of the node; voltages are to be multiplied by `factor`. */
  readonly nodes: ReadonlyMap<string, number>;
  /** √3 where the network is that of one line of three. */
  readonly factor: number;
  /** Whether all loads have the same power factor. */
  readonly isUniform: boolean;
}

/** Loop resistance in ohm of a cable of the texts below, out and back, or of one conductor. */
export function handResistanceOhm(
  cable: HandCable,
  lengthM: number,
  temperatureC: number,
  conductors: 1 | 2 = 2,
): number {
  const ohmPerKm20 = OHM_PER_KM_20[cable];
  return (conductors * lengthM * ohmPerKm20 * (1 + 0.00393 * (temperatureC - 20))) / 1000;
}

/** Maximum resistances at 20 °C: IEC 60228 classes 5 and 2; 18 AWG by diameter 1.0237 mm and 0.017241 ohm mm2/m. */
const OHM_PER_KM_20 = {
  'C-0v75': 26,
  'C-1v5': 13.3,
  'C-2v5s': 7.41,
  'C-18': (1000 * 0.017241) / ((Math.PI / 4) * (0.127 * 92 ** (18 / 39)) ** 2),
} as const;
export type HandCable = keyof typeof OHM_PER_KM_20;

/** Loop reactance in ohm of a cable of the texts below: 0.08 mohm a metre of conductor (IEC 60364-5-52 annex G). */
function handReactanceOhm(lengthM: number, conductors: 1 | 2): number {
  return conductors * lengthM * 0.08e-3;
}

export const HAND_CABLES = `cable C-0v75 { cores 5 x 0.75 mm2 class 5 }
cable C-1v5 { cores 5 x 1.5 mm2 class 5 }
cable C-2v5s { cores 5 x 2.5 mm2 class 2 }
cable C-18 { cores 2 x 18 AWG }
`;

const CABLES = Object.keys(OHM_PER_KM_20) as readonly HandCable[];

interface Supply {
  readonly words: string;
  readonly volts: number;
  readonly openV: number;
  readonly resistanceOhm: number;
  readonly threePhase: boolean;
  /** Of the loads on it: each has one of these. */
  readonly powerFactors: readonly number[];
}

/** One or two feeds of one outlet with landings, spurs, a ring or a line of its own beside them. */
export function randomFeedCase(random: Random): PowerCase {
  const temperatureC = random.pick([20, 35, 40, 70]);
  const supply = randomSupply(random);
  const conductors = supply.threePhase ? 1 : 2;
  const factor = supply.threePhase ? Math.sqrt(3) : 1;
  const builder = new CaseBuilder();
  const source = builder.node([]);
  const cableTo = (from: number, to: number, cable: HandCable, lengthM: number): void => {
    builder.branch(
      from,
      to,
      handResistanceOhm(cable, lengthM, temperatureC, conductors),
      handReactanceOhm(lengthM, conductors),
    );
  };
  const feedCount = supply.resistanceOhm > 0 ? random.integer(1, 2) : 1;
  const texts: string[] = [];
  for (let feed = 1; feed <= feedCount; feed++) {
    const cable = random.pick(CABLES);
    const ring = random.next() < 0.25;
    const lines: string[] = [];
    let previous = source;
    const count = random.integer(1, 7);
    for (let position = 1; position <= count; position++) {
      const own = random.next() < 0.2 ? random.pick(CABLES) : cable;
      const lengthM = randomLength(random);
      const main = builder.consumer(random, supply);
      cableTo(previous, main.node, own, lengthM);
      let line = `  land ${main.name} ${lengthM} m${own === cable ? '' : ` using ${own}`}`;
      if (random.next() < 0.25) {
        const spurM = randomLength(random);
        const first = builder.consumer(random, supply);
        cableTo(main.node, first.node, cable, spurM);
        line += ` { spur ${spurM} m { land ${first.name}`;
        if (random.next() < 0.5) {
          const nextM = randomLength(random);
          const second = builder.consumer(random, supply);
          cableTo(first.node, second.node, cable, nextM);
          line += `  land ${second.name} ${nextM} m`;
        }
        line += ' } }';
      }
      lines.push(line);
      previous = main.node;
    }
    let and = '';
    if (ring) {
      const lastM = randomLength(random);
      cableTo(previous, source, cable, lastM);
      lines.push(`  last ${lastM} m`);
      and = ' and PS-1.out';
    }
    texts.push(`feed F-${feed} from PS-1.out${and} using ${cable} {\n${lines.join('\n')}\n}\n`);
  }
  if (random.next() < 0.3) {
    const cable = random.pick(CABLES);
    const lengthM = randomLength(random);
    const lined = builder.consumer(random, supply, `PS-1.out using ${cable} ${lengthM} m`);
    cableTo(source, lined.node, cable, lengthM);
  }
  const network = builder.network([
    {
      id: 'source',
      node: builder.id(source),
      voltageV: supply.openV / factor,
      resistanceOhm: supply.resistanceOhm,
    },
  ]);
  const text = [
    `site S { conductor-temperature ${temperatureC} C }`,
    HAND_CABLES,
    `equipment Source { role supply  inlet primary 230 VAC 9 A  outlet out ${supply.words} }`,
    'device PS-1 : Source',
    builder.text,
    ...texts,
  ].join('\n');
  const isUniform = new Set(supply.powerFactors).size === 1;
  return { text, network, nodes: builder.nodes, factor, isUniform };
}

/** A bus with one or two sources, branches, and a junction that carries it on to a second bus. */
export function randomBusCase(random: Random): PowerCase {
  const temperatureC = random.pick([20, 40, 55]);
  const cable = random.pick(CABLES);
  const volts = random.pick([12, 15, 24, 30]);
  const builder = new CaseBuilder();
  const sources: Network['sources'][number][] = [];
  const resistance = (lengthM: number): number => handResistanceOhm(cable, lengthM, temperatureC);
  const giverAt = random.integer(0, 3);
  const secondGiver = random.next() < 0.3;
  const busText = (name: string, lines: readonly string[]): string =>
    `bus ${name} : Link using ${cable} {\n${lines.map((line) => `  ${line}`).join('\n')}\n}\n`;
  const count = random.integer(4, 10);
  const lines: string[] = [];
  const nodes: number[] = [];
  for (let position = 0; position < count; position++) {
    const gives = position === giverAt || (secondGiver && position === count - 1);
    const member = gives ? builder.giver(volts) : builder.taker(random, volts);
    if (gives) {
      sources.push({
        id: member.name,
        node: builder.id(member.node),
        voltageV: volts,
        resistanceOhm: 0,
      });
    }
    const lengthM = randomLength(random);
    if (position > 0) {
      builder.branch(nodes.at(-1)!, member.node, resistance(lengthM));
    }
    let line = `land ${member.name}${position > 0 ? ` ${lengthM} m` : ''}`;
    nodes.push(member.node);
    if (position > 0 && random.next() < 0.3) {
      const spurM = randomLength(random);
      const stub = builder.taker(random, volts);
      builder.branch(member.node, stub.node, resistance(spurM));
      line += ` { spur ${spurM} m { land ${stub.name} } }`;
    }
    lines.push(line);
  }
  const buses: string[] = [];
  if (random.next() < 0.4) {
    const joint = builder.junction();
    const toJointM = randomLength(random);
    builder.branch(nodes.at(-1)!, joint.node, resistance(toJointM));
    lines.push(`land ${joint.name}.a ${toJointM} m`);
    const beyondM = randomLength(random);
    const far = builder.taker(random, volts);
    builder.branch(joint.node, far.node, resistance(beyondM));
    buses.push(busText('b-2', [`land ${joint.name}.b`, `land ${far.name} ${beyondM} m`]));
  }
  buses.unshift(busText('b-1', lines));
  const text = [
    `site S { conductor-temperature ${temperatureC} C }`,
    HAND_CABLES,
    'bustype Link { conductors 2  shape free  sources 2  controllers 99 }',
    'equipment Junction { role junction  port a : Link terminals A1, A2  port b : Link terminals B1, B2  passes a to b }',
    builder.text,
    ...buses,
  ].join('\n');
  return {
    text,
    network: builder.network(sources),
    nodes: builder.nodes,
    factor: 1,
    isUniform: true,
  };
}

class CaseBuilder {
  readonly nodes = new Map<string, number>();
  readonly #nodes: NetworkNode[] = [];
  readonly #branches: Branch[] = [];
  readonly #lines: string[] = [];

  get text(): string {
    return this.#lines.join('\n');
  }

  id(node: number): string {
    return `n${node}`;
  }

  node(loads: readonly Load[]): number {
    this.#nodes.push({ id: this.id(this.#nodes.length), loads });
    return this.#nodes.length - 1;
  }

  branch(from: number, to: number, loopResistanceOhm: number, loopReactanceOhm = 0): void {
    const id = `b${this.#branches.length}`;
    this.#branches.push({
      id,
      from: this.id(from),
      to: this.id(to),
      loopResistanceOhm,
      loopReactanceOhm,
    });
  }

  network(sources: Network['sources']): Network {
    return { nodes: this.#nodes, branches: this.#branches, sources };
  }

  /** A device with an inlet for the supply; `line` is its own inlet line. */
  consumer(
    random: Random,
    supply: Supply,
    line?: string,
  ): { readonly name: string; readonly node: number } {
    const number = this.#nodes.length;
    const { words, load } = randomDemand(random, supply);
    const nominal = `${supply.volts} ${supply.threePhase ? 'VAC three-phase' : supply.words.includes('VDC') ? 'VDC' : 'VAC'}`;
    this.#lines.push(
      `equipment E-${number} { role other  inlet supply ${nominal} ${words} }`,
      `device D-${number} : E-${number}${line === undefined ? '' : ` { inlet supply from ${line} }`}`,
    );
    const node = this.node(load === undefined ? [] : [load]);
    this.nodes.set(`D-${number}.supply`, node);
    return { name: `D-${number}.supply`, node };
  }

  giver(volts: number): { readonly name: string; readonly node: number } {
    return this.#port(`gives ${volts} VDC up to 900 mA`, []);
  }

  taker(random: Random, volts: number): { readonly name: string; readonly node: number } {
    const milliamperes = random.integer(1, 40);
    if (random.next() < 0.5) {
      return this.#port(`takes ${milliamperes} mA`, [
        { kind: 'constant-current', currentA: milliamperes / 1000 },
      ]);
    }
    const powerW = Number(((milliamperes * volts) / 1000).toFixed(4));
    return this.#port(`takes ${powerW} W`, [{ kind: 'constant-power', powerW }]);
  }

  junction(): { readonly name: string; readonly node: number } {
    const node = this.node([]);
    this.#lines.push(`device J-${node} : Junction`);
    this.nodes.set(`J-${node}.a`, node);
    return { name: `J-${node}`, node };
  }

  #port(words: string, loads: readonly Load[]): { readonly name: string; readonly node: number } {
    const node = this.node(loads);
    this.#lines.push(
      `equipment E-${node} { role sensor  port link : Link terminals T1, T2 as responder { ${words} } }`,
      `device D-${node} : E-${node}`,
    );
    this.nodes.set(`D-${node}.link`, node);
    return { name: `D-${node}.link`, node };
  }
}

function randomSupply(random: Random): Supply {
  const threePhase = random.next() < 0.15;
  const volts = threePhase ? 400 : random.pick([12, 24, 24, 48, 230]);
  const kind = threePhase || random.next() < 0.5 ? 'VAC' : 'VDC';
  const ratedA = random.integer(2, 10);
  const nominal = `${volts} ${kind}${threePhase ? ' three-phase' : ''} ${ratedA} A`;
  const factor = random.pick([1, 0.95, 0.8, 0.6]);
  const powerFactors =
    kind === 'VDC' ? [1] : random.pick([[1], [factor], [1, 1, 0.8], [1, 0.95, 0.8, 0.6]]);
  const common = { volts, threePhase, powerFactors };
  const style = random.next();
  if (style < 0.4) {
    return { ...common, words: nominal, openV: volts, resistanceOhm: 0 };
  }
  if (style < 0.7) {
    const resistanceOhm = random.integer(1, 40) / 100;
    return {
      ...common,
      words: `${nominal} resistance ${resistanceOhm} ohm`,
      openV: volts,
      resistanceOhm,
    };
  }
  const percent = random.integer(2, 12);
  const droppedV = (volts * percent) / 100 / (threePhase ? Math.sqrt(3) : 1);
  return {
    ...common,
    words: `${nominal} regulation ${percent} %`,
    openV: volts * (1 + percent / 100),
    resistanceOhm: droppedV / ratedA,
  };
}

/** What an inlet states, and the load of one phase that follows from it. */
function randomDemand(
  random: Random,
  { volts, threePhase, powerFactors }: Supply,
): { readonly words: string; readonly load: Load | undefined } {
  const root = threePhase ? Math.sqrt(3) : 1;
  const currentA = random.integer(5, 250) / 1000;
  const powerFactor = random.pick(powerFactors);
  const factorWords = powerFactor === 1 ? '' : ` power-factor ${powerFactor}`;
  const lag =
    powerFactor === 1 ? {} : { reactivePerActive: Math.sqrt(1 - powerFactor ** 2) / powerFactor };
  switch (
    random.pick(['A', 'VA', 'W', 'A as power', 'VA as current', 'W as resistance'] as const)
  ) {
    case 'A':
      return {
        words: `${currentA} A${factorWords}`,
        load: { kind: 'constant-current', currentA: currentA * powerFactor, ...lag },
      };
    case 'VA': {
      const powerVA = rounded(root * volts * currentA);
      return {
        words: `${powerVA} VA${factorWords}`,
        load: { kind: 'constant-power', powerW: (powerVA * powerFactor) / root ** 2, ...lag },
      };
    }
    case 'W': {
      const powerW = rounded(root * volts * currentA);
      return {
        words: `${powerW} W${factorWords}`,
        load: { kind: 'constant-power', powerW: powerW / root ** 2, ...lag },
      };
    }
    case 'A as power':
      return {
        words: `${currentA} A draws constant-power${factorWords}`,
        load: {
          kind: 'constant-power',
          powerW: (root * volts * currentA * powerFactor) / root ** 2,
          ...lag,
        },
      };
    case 'VA as current': {
      const powerVA = rounded(root * volts * currentA);
      return {
        words: `${powerVA} VA draws constant-current${factorWords}`,
        load: {
          kind: 'constant-current',
          currentA: (powerVA * powerFactor) / (root * volts),
          ...lag,
        },
      };
    }
    case 'W as resistance': {
      const powerW = rounded(root * volts * currentA);
      return {
        words: `${powerW} W draws resistive${factorWords}`,
        load: { kind: 'resistive', resistanceOhm: volts ** 2 / powerW, ...lag },
      };
    }
  }
}

function rounded(value: number): number {
  return Number(value.toFixed(3));
}

function randomLength(random: Random): number {
  return random.next() < 0.3 ? random.integer(1, 400) / 10 : random.integer(1, 40);
}
