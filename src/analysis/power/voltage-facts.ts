/** The voltages of a circuit as facts, each with the way from the source as its terms. */
import type { Fact, Term } from '../../model/finding.js';
import type { Site } from '../../model/site.js';
import { withoutRounding } from '../bus/limits.js';
import { term } from '../working.js';
import { scaleOf, stateOf } from './circuit.js';
import type { Circuit, CircuitMember } from './circuit.js';
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
        terms: voltageTerms(site, circuit, voltage, minimumV),
      };
    });
}

/** Source voltage, then resistance and current of each cable from the source to the inlet. */
function voltageTerms(
  site: Site,
  circuit: Circuit,
  voltage: MemberVoltage,
  minimumV: number | undefined,
): readonly Term[] {
  const state = stateOf(site, circuit);
  if (state.kind !== 'operating') {
    return [];
  }
  const resistanceOhm = new Map(
    state.network.branches.map((branch) => [branch.id, branch.loopResistanceOhm]),
  );
  const reactanceOhm = new Map(
    state.network.branches.map((branch) => [branch.id, branch.loopReactanceOhm ?? 0]),
  );
  const { angles } = state;
  const path = pathToSource(circuit, voltage.node.id);
  const source = circuit.sources.find((one) => one.node === path.source);
  const sourceTerms =
    source === undefined
      ? []
      : [
          term(`voltage of ${source.id}`, withoutRounding(source.openV), 'V'),
          ...(source.resistanceOhm > 0
            ? [
                term(`R of ${source.id}`, withoutRounding(source.resistanceOhm), 'ohm'),
                term(
                  `I of ${source.id}`,
                  withoutRounding(state.sourceA.get(source.id) ?? 0),
                  'A',
                  'computed',
                ),
                ...angleTerms(`I of ${source.id}`, angles?.sourceDeg.get(source.id)),
              ]
            : []),
        ];
  const cableTerms = path.steps.flatMap(({ branch, sign }) => {
    const name = nameOfNode(circuit, sign > 0 ? branch.to : branch.from);
    return [
      term(`length to ${name}`, withoutRounding(branch.lengthM), 'm', branch.basis),
      term(`R to ${name}`, withoutRounding(resistanceOhm.get(branch.id) ?? 0), 'ohm', 'computed'),
      ...(angles === undefined
        ? []
        : [
            // The figure a metre is that of the annex, not of this cable.
            term(
              `X to ${name}`,
              withoutRounding(reactanceOhm.get(branch.id) ?? 0),
              'ohm',
              'assumed',
            ),
          ]),
      term(
        `I to ${name}`,
        withoutRounding(sign * (state.branchA.get(branch.id) ?? 0)),
        'A',
        'computed',
      ),
      ...angleTerms(`I to ${name}`, angles?.branchDeg.get(branch.id)),
    ];
  });
  const turnsAtC =
    minimumV === undefined ? undefined : voltageTurnsAtC(site, circuit, voltage.node, minimumV);
  return [
    ...sourceTerms,
    ...cableTerms,
    ...(circuit.threePhase
      ? [term('line voltage per line current', withoutRounding(scaleOf(circuit)), '', 'computed')]
      : []),
    ...angleTerms('the voltage', angles?.voltageDeg.get(voltage.node.id)),
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
  readonly branch: Circuit['branches'][number];
  /** 1 where the branch leads away from the source, else −1. */
  readonly sign: 1 | -1;
}

/** The cables from the nearest source to a node, counted in cables. */
function pathToSource(
  circuit: Circuit,
  node: string,
): { readonly source: string | undefined; readonly steps: readonly PathStep[] } {
  const sources = new Set(circuit.sources.map((source) => source.node));
  const cameBy = new Map<string, PathStep | undefined>([[node, undefined]]);
  for (const [reached] of cameBy) {
    if (sources.has(reached)) {
      return { source: reached, steps: stepsFrom(reached, cameBy) };
    }
    for (const branch of circuit.branches) {
      if (branch.to === reached && !cameBy.has(branch.from)) {
        cameBy.set(branch.from, { branch, sign: 1 });
      } else if (branch.from === reached && !cameBy.has(branch.to)) {
        cameBy.set(branch.to, { branch, sign: -1 });
      }
    }
  }
  return { source: undefined, steps: [] };
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

function nameOfNode(circuit: Circuit, id: string): string {
  return circuit.nodes.find((node) => node.id === id)?.members[0]?.subject ?? id;
}
