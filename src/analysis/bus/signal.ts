/** What an RS-485 segment does electrically: its load, its idle state, its weakest signal. */
import type { Site } from '../../model/site.js';
import type { Bus } from '../../model/wiring.js';
import {
  DRIVER_OUTPUT_V,
  idleVoltages,
  meterResistance,
  signalVoltages,
} from '../electrical/signal.js';
import { memoised } from '../memo.js';
import { judgedTemperature, temperatureTerm } from '../power/temperature.js';
import { term } from '../working.js';
import type { Figure, KnownFigure } from './figure.js';
import { weakerBasis } from './figure.js';
import { geometryOf, landingAt } from './geometry.js';
import { isUnitLoadAssumed, lineOf, unitLoadOf } from './line.js';
import type { BusLine } from './line.js';
import { isAbove } from './limits.js';
import { needs } from './needs.js';
import { segmentOf } from './segment.js';
import type { BusLanding } from './segment.js';
import { terminationOf } from './termination.js';

/** A figure that holds at one place of the line. */
export type PlacedFigure =
  | (KnownFigure & { readonly at: BusLanding; readonly from?: BusLanding })
  | Extract<Figure, { known: false }>;

/** The RS-485 figures of a segment, the head being the first landing of the bus asked about. */
export interface BusSignal {
  readonly unitLoads: KnownFigure;
  /** The least differential voltage in V while nobody talks. */
  readonly idle: PlacedFigure;
  /** The least differential voltage in V of a driver's signal, from one far end to the other. */
  readonly farSignal: PlacedFigure;
  /** In ohm between the two wires at the head, all power off. */
  readonly headResistance: Figure;
}

/** The figures of a bus at the conductor temperature of the site; undefined for another kind of signal. */
export const signalOf: (site: Site, bus: Bus) => BusSignal | undefined = memoised((site, bus) => {
  const { busType } = segmentOf(site, bus);
  if (busType?.signal?.kind !== 'rs485') {
    return undefined;
  }
  return {
    unitLoads: unitLoadsOf(site, bus),
    idle: idleAt(site, bus, judgedTemperature(site).temperatureC),
    farSignal: farSignalAt(site, bus, judgedTemperature(site).temperatureC),
    headResistance: headResistanceOf(site, bus),
  };
});

/** The idle voltage at its worst place, with conductors at a temperature in °C. */
export function idleAt(site: Site, bus: Bus, temperatureC: number): PlacedFigure {
  const { segment, ...geometry } = geometryOf(site, bus);
  const biased = segment.ports.filter(({ resolved }) => resolved.port.bias !== undefined);
  if (biased.length === 0) {
    const controller = segment.ports.find(({ resolved }) => resolved.port.talksAs === 'controller');
    return {
      known: false,
      needs:
        controller === undefined
          ? needs.someBias
          : needs.bias(controller.resolved.equipment.name, controller.resolved.port.name),
    };
  }
  const line = lineOf(site, bus, temperatureC);
  if (!line.known) {
    return line;
  }
  const voltages = idleVoltages(line.line);
  if (!voltages.known) {
    return { known: false, needs: needs.oneLoop(segment.lead.name) };
  }
  const at = geometry.graph.nodes[Number(voltages.worst.id)]![0]!;
  const head = biased[0]!;
  const headV = voltages.points[geometry.graph.nodeOf[head.position]!]!.voltageV;
  return {
    known: true,
    value: voltages.worst.voltageV,
    basis: basisOf(site, line, unitLoadsOf(site, bus)),
    at,
    terms: [
      term(`voltage at ${head.name}`, headV, 'V', 'computed'),
      term(`lost on the way to ${at.name}`, headV - voltages.worst.voltageV, 'V', 'computed'),
      ...biased.flatMap(({ name, resolved: { port } }) => [
        term(`bias of ${name}, in each wire`, port.bias!.ohm, 'ohm'),
        term(`bias supply of ${name}`, port.bias!.volts, 'V'),
      ]),
      ...lineTerms(site, bus),
    ],
  };
}

/** The signal between the two ends furthest apart, in the weaker direction, at a temperature in °C. */
export function farSignalAt(site: Site, bus: Bus, temperatureC: number): PlacedFigure {
  const geometry = geometryOf(site, bus);
  const { farthest, segment } = geometry;
  if (farthest === undefined || farthest.one === farthest.other) {
    return {
      known: false,
      needs:
        segment.landings.length < 2
          ? needs.secondLanding(bus.name)
          : needs.oneLoop(segment.lead.name),
    };
  }
  const line = lineOf(site, bus, temperatureC);
  if (!line.known) {
    return line;
  }
  const there = signalBetween(line, farthest.one, farthest.other);
  const back = signalBetween(line, farthest.other, farthest.one);
  if (there === undefined || back === undefined) {
    return { known: false, needs: needs.oneLoop(segment.lead.name) };
  }
  // Equal but for rounding, the far end hears the near one: that is how people think of it.
  const [driver, receiver, way] = isAbove(there.receivedV, back.receivedV)
    ? [farthest.other, farthest.one, back]
    : [farthest.one, farthest.other, there];
  const receivedV = Math.min(there.receivedV, back.receivedV);
  return {
    known: true,
    value: receivedV,
    basis: basisOf(site, line, unitLoadsOf(site, bus)),
    at: landingAt(geometry, receiver),
    from: landingAt(geometry, driver),
    terms: [
      term('least driver voltage into 54 ohm', DRIVER_OUTPUT_V, 'V'),
      term('driver', landingAt(geometry, driver).name, ''),
      term('receiver', landingAt(geometry, receiver).name, ''),
      term('voltage at the driver', way.drivenV, 'V', 'computed'),
      term('lost on the way to the receiver', way.drivenV - receivedV, 'V', 'computed'),
      term('cable between them', farthest.lengthM, 'm', lengthBasis(line)),
      ...lineTerms(site, bus),
    ],
  };
}

function signalBetween(
  line: BusLine,
  driver: number,
  receiver: number,
): { readonly drivenV: number; readonly receivedV: number } | undefined {
  const voltages = signalVoltages(line.line, String(driver));
  return voltages.known
    ? {
        drivenV: voltages.points[driver]!.voltageV,
        receivedV: voltages.points[receiver]!.voltageV,
      }
    : undefined;
}

function headResistanceOf(site: Site, bus: Bus): Figure {
  const { segment, graph } = geometryOf(site, bus);
  const head = segment.landings.find((landing) => landing.bus === bus);
  if (head === undefined) {
    return { known: false, needs: needs.secondLanding(bus.name) };
  }
  const line = lineOf(site, bus, judgedTemperature(site).temperatureC);
  if (!line.known) {
    return line;
  }
  const resistance = meterResistance(line.line, String(graph.nodeOf[head.position]!));
  if (!resistance.known) {
    return { known: false, needs: needs.terminated(head.name) };
  }
  const conductance = terminationOf(site, bus).terminators.reduce(
    (sum, { resistanceOhm }) => sum + 1 / resistanceOhm!,
    0,
  );
  const withoutCableOhm = 1 / conductance;
  return {
    known: true,
    value: resistance.resistanceOhm,
    basis: basisOf(site, line, undefined),
    terms: [
      term('measured at', head.name, ''),
      ...terminatorTerms(site, bus),
      term('terminators in parallel', withoutCableOhm, 'ohm', 'computed'),
      term('added by the cable', resistance.resistanceOhm - withoutCableOhm, 'ohm', 'computed'),
      temperatureTerm(judgedTemperature(site)),
    ],
  };
}

function unitLoadsOf(site: Site, bus: Bus): KnownFigure {
  const loading = segmentOf(site, bus).ports.filter(({ resolved }) => unitLoadOf(resolved) > 0);
  return {
    known: true,
    value: loading.reduce((sum, { resolved }) => sum + unitLoadOf(resolved), 0),
    basis: loading.some(({ resolved }) => isUnitLoadAssumed(resolved)) ? 'assumed' : 'computed',
    terms: loading.map(({ name, resolved }) =>
      term(
        name,
        unitLoadOf(resolved),
        'unit loads',
        isUnitLoadAssumed(resolved) ? 'assumed' : 'stated',
      ),
    ),
  };
}

function lineTerms(site: Site, bus: Bus): KnownFigure['terms'] {
  const loads = unitLoadsOf(site, bus);
  return [
    ...terminatorTerms(site, bus),
    term('unit loads of 12 kohm', loads.value, '', loads.basis),
    temperatureTerm(judgedTemperature(site)),
  ];
}

function terminatorTerms(site: Site, bus: Bus): KnownFigure['terms'] {
  return terminationOf(site, bus).terminators.map(({ landing, resistanceOhm }) =>
    term(`terminator at ${landing.name}`, resistanceOhm ?? '?', 'ohm'),
  );
}

function lengthBasis(line: BusLine): 'computed' | 'estimated' {
  return line.hasEstimates ? 'estimated' : 'computed';
}

function basisOf(site: Site, line: BusLine, loads: KnownFigure | undefined): KnownFigure['basis'] {
  const temperature = judgedTemperature(site).basis === 'assumed' ? 'assumed' : 'computed';
  return weakerBasis(weakerBasis(lengthBasis(line), loads?.basis ?? 'computed'), temperature);
}
