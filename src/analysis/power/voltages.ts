/** Voltages at inlets and ports, judged against what they need. */
import type { Place } from '../../model/origin.js';
import type { Device } from '../../model/records.js';
import { resolveInlet } from '../../model/site.js';
import type { Site } from '../../model/site.js';
import type { Bus, Feed } from '../../model/wiring.js';
import { memoised } from '../memo.js';
import { circuitOfBus } from './bus-circuit.js';
import { coldState, hotState, stateAt, stateOf } from './circuit.js';
import type { Circuit, CircuitMember, CircuitNode, CircuitState } from './circuit.js';
import { connectionsOf } from './consumers.js';
import type { InletConsumer } from './consumers.js';
import { poweredSegmentOf } from './bus-load.js';
import { isAmount } from './demand.js';
import { circuitOfConnection, circuitOfFeed } from './supply-circuit.js';
import { judgedTemperature, turningTemperatureC, USUAL_TEMPERATURES_C } from './temperature.js';

/** The voltage of an inlet or port in an operating circuit. */
export interface MemberVoltage {
  readonly subject: string;
  readonly at: Place;
  /** V, between lines in three-phase. */
  readonly voltageV: number;
  /** Of the source's nominal voltage, in %. */
  readonly dropPercent: number;
  readonly node: CircuitNode;
  readonly circuit: Circuit;
}

/** The voltages of a feed's landings in text order; empty where they are not known or it has collapsed. */
export const voltagesOfFeed: (site: Site, feed: Feed) => readonly MemberVoltage[] = memoised(
  (site, feed) =>
    voltagesIn(site, circuitOfFeed(site, feed)).filter(({ at }) => at.declaration === feed.name),
);

/** The voltages of the landings of a powered bus's whole segment. */
export const voltagesOfBus: (site: Site, bus: Bus) => readonly MemberVoltage[] = memoised(
  (site, bus) => {
    const circuit = circuitOfBus(site, bus);
    return circuit === undefined ? [] : voltagesIn(site, circuit);
  },
);

/** The ports that live on a powered bus and get less than its type's least voltage, in text order. */
export function starvedOn(site: Site, bus: Bus): readonly MemberVoltage[] {
  const powered = poweredSegmentOf(site, bus);
  const minimumV = powered?.minimumV;
  if (powered === undefined || minimumV === undefined) {
    return [];
  }
  const voltages = voltagesOfBus(site, bus);
  return powered.takers.flatMap((taker) =>
    voltages
      .filter(({ subject, voltageV }) => subject === taker.port.name && isBelow(voltageV, minimumV))
      .slice(0, 1),
  );
}

/** A connection of an inlet with its circuit and, where it is known, its voltage. */
export interface InletState {
  readonly consumer: InletConsumer;
  readonly circuit: Circuit;
  readonly state: CircuitState;
  readonly voltage: MemberVoltage | undefined;
  /** The least voltage that the inlet works with, where its tolerance is stated. */
  readonly minimumV: number | undefined;
}

/** Every connection of a device's inlets. */
export const inletStatesOf: (site: Site, device: Device) => readonly InletState[] = memoised(
  (site, device) => {
    const equipment = site.equipment.get(device.equipment);
    return (equipment?.inlets ?? []).flatMap((inlet) =>
      connectionsOf(site, device.name, inlet.name).flatMap((consumer): InletState[] => {
        const circuit = circuitOfConnection(site, consumer.connection);
        if (circuit === undefined) {
          return [];
        }
        const voltage = voltagesIn(site, circuit).find(
          ({ subject, at }) =>
            subject === consumer.subject &&
            at.declaration === consumer.at.declaration &&
            at.part === consumer.at.part,
        );
        const minimumV = minimumOf(inlet);
        return [{ consumer, circuit, state: stateOf(site, circuit), voltage, minimumV }];
      }),
    );
  },
);

/** The least voltage of an inlet: nominal less the stated tolerance. */
export function minimumOf(inlet: {
  readonly voltage?: { readonly volts: number };
  readonly tolerancePercent?: number;
}): number | undefined {
  return inlet.voltage === undefined || !isAmount(inlet.tolerancePercent)
    ? undefined
    : inlet.voltage.volts * (1 - inlet.tolerancePercent / 100);
}

/** The same for an inlet by its name `device.inlet`. */
export function minimumAt(site: Site, subject: string): number | undefined {
  const cut = subject.lastIndexOf('.');
  const inlet = resolveInlet(site, subject.slice(0, cut), subject.slice(cut + 1))?.inlet;
  return inlet && minimumOf(inlet);
}

/** Whether a voltage is below a minimum by more than rounding. */
export function isBelow(voltageV: number, minimumV: number): boolean {
  return voltageV < minimumV - 1e-9 * Math.abs(minimumV);
}

/**
 * The temperature at which a node's voltage crosses a minimum between 20 and 70 °C, in °C;
 * undefined where the verdict is the same at both.
 */
export function voltageTurnsAtC(
  site: Site,
  circuit: Circuit,
  node: CircuitNode,
  minimumV: number,
): number | undefined {
  return turningTemperatureC((temperatureC) => {
    const state = knownState(site, circuit, temperatureC);
    return state.kind === 'operating' && !isBelow(state.voltageV.get(node.id) ?? 0, minimumV);
  });
}

/** The temperature at which a circuit collapses between 20 and 70 °C, in °C. */
export function collapseTurnsAtC(site: Site, circuit: Circuit): number | undefined {
  return turningTemperatureC(
    (temperatureC) => knownState(site, circuit, temperatureC).kind !== 'collapsed',
  );
}

/**
 * The member with which a collapsed circuit loses its operating point, when the loads are connected
 * one after the other in the order of the text.
 */
export function lastStrawOf(site: Site, circuit: Circuit): CircuitMember | undefined {
  const temperatureC = judgedTemperature(site).temperatureC;
  const members = circuit.nodes.flatMap((node) => node.members);
  // Sorting is stable: what stands in one declaration keeps the order of its lines.
  const loaded = members
    .filter((member) => member.load !== undefined)
    .sort((one, other) => site.compareInText(one.at.declaration, other.at.declaration));
  return loaded.find((_, index) => {
    const connected = new Set(loaded.slice(0, index + 1));
    const partly: Circuit = {
      ...circuit,
      nodes: circuit.nodes.map((node) => ({
        ...node,
        members: node.members.map((member) =>
          connected.has(member) ? member : { ...member, load: undefined },
        ),
      })),
    };
    return stateAt(partly, temperatureC).kind === 'collapsed';
  });
}

export const voltagesIn: (site: Site, circuit: Circuit) => readonly MemberVoltage[] = memoised(
  (site, circuit) => {
    const state = stateOf(site, circuit);
    if (state.kind !== 'operating') {
      return [];
    }
    const nominalV = circuit.nominalV;
    return circuit.nodes.flatMap((node) => {
      const voltageV = state.voltageV.get(node.id);
      return voltageV === undefined
        ? []
        : node.members.map((member) => ({
            subject: member.subject,
            at: member.at,
            voltageV,
            dropPercent: (100 * (nominalV - voltageV)) / nominalV,
            node,
            circuit,
          }));
    });
  },
);

function knownState(site: Site, circuit: Circuit, temperatureC: number): CircuitState {
  switch (temperatureC) {
    case USUAL_TEMPERATURES_C.cold:
      return coldState(site, circuit);
    case USUAL_TEMPERATURES_C.hot:
      return hotState(site, circuit);
    default:
      return stateAt(circuit, temperatureC);
  }
}
