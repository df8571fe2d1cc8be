/** The voltages of a circuit as facts, each with the way from the source as its terms. */
import type { Fact, Term } from '../../model/finding.js';
import type { Site } from '../../model/site.js';
import type { Network } from '../electrical/network.js';
import { withoutRounding } from '../bus/limits.js';
import { term } from '../working.js';
import { scaleOf, stateOf } from './circuit.js';
import type {
  Circuit,
  CircuitBranch,
  CircuitMember,
  CircuitSource,
  CircuitState,
} from './circuit.js';
import { atLeast, basisOf, unknownFact } from './fact-shapes.js';
import { POWER_SOURCES } from './sources.js';
import { judgedTemperature, temperatureTerm } from './temperature.js';
import { voltagesIn, voltageTurnsAtC } from './voltages.js';
import type { MemberVoltage } from './voltages.js';

/** An inlet or port of a circuit. */
export type Member = Pick<CircuitMember, 'subject' | 'at'>;

/** `voltage` of the members that count, with the least voltage of those that have one. */
export function voltageFacts(
  site: Site,
  circuit: Circuit,
  counts: (member: Member) => boolean,
  minimumOf: (subject: string) => number | undefined,
): readonly Fact[] {
  const state = stateOf(site, circuit);
  const members = circuit.nodes.flatMap((node) => node.members).filter(counts);
  if (state.kind === 'unknown') {
    const needs = state.gaps[0]?.needs ?? '';
    return members.map((member) => unknownFact(member.subject, 'voltage', 'V', needs));
  }
  if (state.kind === 'collapsed') {
    return members.map((member) => ({
      ...unknownFact(member.subject, 'voltage', 'V', ''),
      basis: 'computed',
      source: POWER_SOURCES.voltage,
      terms: [term('operating point', 'none', '', 'computed')],
    }));
  }
  const working = new CircuitWorking(circuit, state);
  return voltagesIn(site, circuit)
    .filter(counts)
    .map((voltage): Fact => {
      const minimumV = minimumOf(voltage.subject);
      return {
        subject: voltage.subject,
        fact: 'voltage',
        value: withoutRounding(voltage.voltageV),
        unit: 'V',
        ...atLeast(voltage.voltageV, minimumV),
        basis: basisOf(circuit),
        source:
          state.angles === undefined ? POWER_SOURCES.voltage : POWER_SOURCES.alternatingVoltage,
        terms: [
          ...working.termsTo(voltage.node.id),
          ...verdictTerms(site, circuit, voltage, minimumV),
        ],
      };
    });
}

/** The temperature of the conductors, and whether another one would turn the verdict. */
function verdictTerms(
  site: Site,
  circuit: Circuit,
  voltage: MemberVoltage,
  minimumV: number | undefined,
): readonly Term[] {
  const turnsAtC =
    minimumV === undefined ? undefined : voltageTurnsAtC(site, circuit, voltage.node, minimumV);
  return [
    temperatureTerm(judgedTemperature(site)),
    ...(turnsAtC === undefined ? [] : [term('verdict turns at', turnsAtC, 'C', 'computed')]),
  ];
}

/** The angle of a voltage or current to the voltage of the source; none at a power factor of 1. */
function angleTerms(what: string, angleDeg: number | undefined): readonly Term[] {
  return angleDeg === undefined
    ? []
    : [term(`angle of ${what}`, withoutRounding(angleDeg), 'deg', 'computed')];
}

interface PathStep {
  readonly branch: CircuitBranch;
  /** 1 where the branch leads away from the source, else −1. */
  readonly sign: 1 | -1;
}

/**
 * The working of all voltages of a circuit. Most cables are on the way to many inlets, so what each
 * adds to the working is put into words once.
 */
class CircuitWorking {
  readonly #circuit: Circuit;
  readonly #state: Extract<CircuitState, { kind: 'operating' }>;
  /** By node, in the order of the branches. */
  readonly #branchesAt = new Map<string, CircuitBranch[]>();
  readonly #networkBranches: ReadonlyMap<string, Network['branches'][number]>;
  readonly #names: ReadonlyMap<string, string | undefined>;
  readonly #sourceAt: ReadonlyMap<string, CircuitSource>;
  /** For each branch its terms in its own direction and against it. */
  readonly #cableTerms = new Map<CircuitBranch, Partial<Record<1 | -1, readonly Term[]>>>();

  constructor(circuit: Circuit, state: Extract<CircuitState, { kind: 'operating' }>) {
    this.#circuit = circuit;
    this.#state = state;
    for (const branch of circuit.branches) {
      for (const node of new Set([branch.from, branch.to])) {
        const list = this.#branchesAt.get(node);
        if (list === undefined) {
          this.#branchesAt.set(node, [branch]);
        } else {
          list.push(branch);
        }
      }
    }
    this.#networkBranches = new Map(state.network.branches.map((branch) => [branch.id, branch]));
    this.#names = new Map(circuit.nodes.map((node) => [node.id, node.members[0]?.subject]));
    // Of several sources on one node the first counts.
    this.#sourceAt = new Map([...circuit.sources].reverse().map((source) => [source.node, source]));
  }

  /** Source voltage, then resistance and current of each cable from the nearest source to a node. */
  termsTo(node: string): readonly Term[] {
    const path = this.#pathToSource(node);
    const terms: Term[] = [...(path.source === undefined ? [] : this.#sourceTerms(path.source))];
    for (const step of path.steps) {
      terms.push(...this.#termsOf(step));
    }
    if (this.#circuit.threePhase) {
      const scale = withoutRounding(scaleOf(this.#circuit));
      terms.push(term('line voltage per line current', scale, '', 'computed'));
    }
    terms.push(...angleTerms('the voltage', this.#state.angles?.voltageDeg.get(node)));
    return terms;
  }

  #sourceTerms({ id, openV, resistanceOhm }: CircuitSource): readonly Term[] {
    const { sourceA, angles } = this.#state;
    return [
      term(`voltage of ${id}`, withoutRounding(openV), 'V'),
      ...(resistanceOhm > 0
        ? [
            term(`R of ${id}`, withoutRounding(resistanceOhm), 'ohm'),
            term(`I of ${id}`, withoutRounding(sourceA.get(id) ?? 0), 'A', 'computed'),
            ...angleTerms(`I of ${id}`, angles?.sourceDeg.get(id)),
          ]
        : []),
    ];
  }

  #termsOf({ branch, sign }: PathStep): readonly Term[] {
    const kept = this.#cableTerms.get(branch) ?? {};
    const terms = kept[sign] ?? this.#computeTerms({ branch, sign });
    this.#cableTerms.set(branch, { ...kept, [sign]: terms });
    return terms;
  }

  #computeTerms({ branch, sign }: PathStep): readonly Term[] {
    const { angles, branchA } = this.#state;
    const node = sign > 0 ? branch.to : branch.from;
    const name = this.#names.get(node) ?? node;
    const { loopResistanceOhm = 0, loopReactanceOhm = 0 } =
      this.#networkBranches.get(branch.id) ?? {};
    const currentA = sign * (branchA.get(branch.id) ?? 0);
    return [
      term(`length to ${name}`, withoutRounding(branch.lengthM), 'm', branch.basis),
      term(`R to ${name}`, withoutRounding(loopResistanceOhm), 'ohm', 'computed'),
      // The figure a metre is that of the annex, not of this cable.
      ...(angles === undefined
        ? []
        : [term(`X to ${name}`, withoutRounding(loopReactanceOhm), 'ohm', 'assumed')]),
      term(`I to ${name}`, withoutRounding(currentA), 'A', 'computed'),
      ...angleTerms(`I to ${name}`, angles?.branchDeg.get(branch.id)),
    ];
  }

  /** The cables from the nearest source to a node, counted in cables. */
  #pathToSource(node: string): {
    readonly source: CircuitSource | undefined;
    readonly steps: readonly PathStep[];
  } {
    const cameBy = new Map<string, PathStep | undefined>([[node, undefined]]);
    for (const [reached] of cameBy) {
      const source = this.#sourceAt.get(reached);
      if (source !== undefined) {
        return { source, steps: stepsFrom(reached, cameBy) };
      }
      for (const branch of this.#branchesAt.get(reached) ?? []) {
        if (branch.to === reached && !cameBy.has(branch.from)) {
          cameBy.set(branch.from, { branch, sign: 1 });
        } else if (branch.from === reached && !cameBy.has(branch.to)) {
          cameBy.set(branch.to, { branch, sign: -1 });
        }
      }
    }
    return { source: undefined, steps: [] };
  }
}

function stepsFrom(
  source: string,
  cameBy: ReadonlyMap<string, PathStep | undefined>,
): readonly PathStep[] {
  const steps: PathStep[] = [];
  for (let step = cameBy.get(source); step !== undefined;) {
    steps.push(step);
    step = cameBy.get(step.sign > 0 ? step.branch.to : step.branch.from);
  }
  return steps;
}
