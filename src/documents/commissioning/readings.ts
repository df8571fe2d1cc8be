/** The meter readings that are expected on site, with the range in which they count as right. */
import { deadRoundsOf } from '../../analysis/bus/dead-devices.js';
import { segmentOf, talkDomainOf } from '../../analysis/bus/segment.js';
import { signalOf } from '../../analysis/bus/signal.js';
import { RECEIVER_THRESHOLD_V } from '../../analysis/electrical/signal.js';
import { circuitOfBus } from '../../analysis/power/bus-circuit.js';
import { stateOf } from '../../analysis/power/circuit.js';
import { feedEnds } from '../../analysis/power/consumers.js';
import type { Circuit } from '../../analysis/power/circuit.js';
import { judgedTemperature } from '../../analysis/power/temperature.js';
import { inletStatesOf, voltagesOfBus } from '../../analysis/power/voltages.js';
import type { InletState } from '../../analysis/power/voltages.js';
import { bandOf, EXTRA_LOW_LIMIT_V } from '../../analysis/cabling/cables.js';
import { compareNames, memberKey, resolvePort, roomOf } from '../../model/site.js';
import type { PlacedRoom, Site } from '../../model/site.js';
import type { Bus } from '../../model/wiring.js';
import type { Device } from '../../model/records.js';
import { missing, quantity } from '../document.js';
import type { Mark, Missing, Quantity } from '../document.js';
import { leastSure, markOf } from '../marks.js';
import { commissioningTexts as texts } from '../texts/commissioning.js';
import { startingOrder } from '../walking-order.js';

/** How far a reading may lie from the computed value, in %. Common practice. */
export const METER_TOLERANCE_PERCENT = 10;

/** A reading of a pair of wires at one place. */
export interface PairReading {
  readonly bus: Bus;
  readonly at: string;
  readonly room: PlacedRoom | undefined;
  readonly terminals: readonly string[];
  readonly expected: Quantity | Missing;
  readonly least: Quantity | '';
  readonly most: Quantity | '';
}

/** A voltage at a device. */
export interface VoltageReading {
  readonly device: Device;
  readonly at: string;
  readonly terminals: readonly string[];
  readonly room: PlacedRoom | undefined;
  /** The ways or outlets it is fed from, or the bus. */
  readonly sources: readonly string[];
  readonly nominal: Quantity | '';
  /** With everything connected and running. */
  readonly expected: Quantity | Missing;
  /** With nothing plugged in: what the source gives without load. */
  readonly unloaded: Quantity | Missing;
  readonly least: Quantity | '';
  readonly most: Quantity | '';
  readonly mains: boolean;
  readonly direct: boolean;
  readonly by: 'supply' | 'bus';
}

/** Ohms at the head of each segment that is terminated, all power off. */
export function ohmReadings(site: Site): readonly PairReading[] {
  return leadBuses(site).flatMap((bus): PairReading[] => {
    const figure = signalOf(site, bus)?.headResistance;
    const head = bus.landings[0];
    if (figure === undefined || head === undefined) {
      return [];
    }
    const place = pairPlace(site, head.device, head.member);
    if (!figure.known) {
      return [{ bus, ...place, expected: missing(texts.notComputed(figure.needs)), ...noRange }];
    }
    return [
      {
        bus,
        ...place,
        expected: quantity(figure.value, 'ohm', figure.basis, 1),
        ...rangeAround(figure.value, 'ohm', 1),
      },
    ];
  });
}

/** How long a round over a bus takes, and what devices that do not answer make of it. */
export interface RoundReading {
  readonly bus: Bus;
  readonly alive: Quantity;
  readonly oneDead: Quantity;
  readonly twoDead: Quantity | '';
}

/** Rounds of the polled buses whose controller states how long it waits and how often it asks again. */
export function roundReadings(site: Site): readonly RoundReading[] {
  return leadBuses(site)
    .filter((bus) => talkDomainOf(site, bus).lead === bus)
    .flatMap((bus): RoundReading[] => {
      const rounds = deadRoundsOf(site, bus);
      return rounds.known
        ? [
            {
              bus,
              alive: quantity(rounds.aliveS, 's', 'computed', 2),
              oneDead: quantity(rounds.oneDeadS, 's', 'computed', 2),
              twoDead:
                rounds.twoDeadS === undefined ? '' : quantity(rounds.twoDeadS, 's', 'computed', 2),
            },
          ]
        : [];
    });
}

/** Millivolts of each biased pair at its worst place while nobody talks. */
export function idleReadings(site: Site): readonly PairReading[] {
  return leadBuses(site).flatMap((bus): PairReading[] => {
    const figure = signalOf(site, bus)?.idle;
    if (figure === undefined) {
      return [];
    }
    if (!figure.known) {
      const head = bus.landings[0];
      return head === undefined
        ? []
        : [
            {
              bus,
              ...pairPlace(site, head.device, head.member),
              expected: missing(texts.notComputed(figure.needs)),
              ...noRange,
            },
          ];
    }
    const millivolts = figure.value * 1000;
    const range = rangeAround(millivolts, 'mV', 0);
    const least = Math.max(range.least.value, RECEIVER_THRESHOLD_V * 1000);
    return [
      {
        bus,
        ...pairPlace(site, figure.at.landing.device, figure.at.landing.member),
        expected: quantity(millivolts, 'mV', figure.basis, 0),
        least: quantity(least, 'mV', 'assumed', 0),
        most: range.most,
      },
    ];
  });
}

/** The voltage at every inlet and at every port that a bus powers, in the order of starting. */
export function voltageReadings(site: Site): readonly VoltageReading[] {
  return startingOrder(site).flatMap((device) => voltageReadingsOf(site, device));
}

/** The voltages of one device. */
export function voltageReadingsOf(site: Site, device: Device): readonly VoltageReading[] {
  return [
    ...inletStatesOf(site, device).map((state) => inletReading(site, device, state)),
    ...poweredPortReadings(site, device),
  ];
}

function inletReading(site: Site, device: Device, inletState: InletState): VoltageReading {
  const { consumer, circuit, state, voltage, minimumV } = inletState;
  const inlet = consumer.resolved?.inlet;
  const nominal = inlet?.voltage;
  return {
    device,
    at: consumer.subject,
    terminals: inlet?.terminals ?? [],
    room: roomOf(site, device),
    sources: sourcesOf(consumer.connection),
    nominal: nominal === undefined ? '' : quantity(nominal.volts, 'V', 'stated'),
    expected: expectedVoltage(site, circuit, voltage?.voltageV, state.kind),
    unloaded: unloadedVoltage(circuit, sourcesOf(consumer.connection)),
    least: minimumV === undefined ? '' : quantity(minimumV, 'V', 'computed', 2),
    most:
      nominal === undefined || inlet?.tolerancePercent === undefined
        ? ''
        : quantity(nominal.volts * (1 + inlet.tolerancePercent / 100), 'V', 'computed', 2),
    mains: bandOf(nominal) === 'mains',
    direct: nominal?.kind === 'dc',
    by: 'supply',
  };
}

function poweredPortReadings(site: Site, device: Device): readonly VoltageReading[] {
  return (site.busLandingsOfDevice.get(device.name) ?? []).flatMap(({ run, landing }) => {
    const port = resolvePort(site, device.name, landing.member)?.port;
    const power = site.busTypes.get(run.busType)?.power;
    if (port?.takes === undefined || power === undefined) {
      return [];
    }
    const at = memberKey(device.name, landing.member);
    const circuit = circuitOfBus(site, run);
    const voltage = voltagesOfBus(site, run).find((one) => one.subject === at);
    return [
      {
        device,
        at,
        terminals: port.terminals,
        room: roomOf(site, device),
        sources: [run.name],
        nominal: quantity(power.nominal.volts, 'V', 'stated'),
        expected:
          circuit === undefined
            ? missing(texts.notComputed(''))
            : expectedVoltage(site, circuit, voltage?.voltageV, stateOf(site, circuit).kind),
        unloaded:
          circuit === undefined
            ? missing(texts.notComputed(''))
            : unloadedVoltage(
                circuit,
                circuit.sources.map((source) => source.id),
              ),
        least:
          power.minimumVolts === undefined ? '' : quantity(power.minimumVolts, 'V', 'stated', 2),
        most: '',
        mains: false,
        direct: power.nominal.kind === 'dc',
        by: 'bus',
      },
    ];
  });
}

function expectedVoltage(
  site: Site,
  circuit: Circuit,
  voltageV: number | undefined,
  state: string,
): Quantity | Missing {
  if (state === 'collapsed') {
    return missing(texts.noOperatingPoint);
  }
  if (voltageV === undefined) {
    // Which line of text would tell is of use where the control circuits are planned, not at mains.
    const isMains = circuit.sources.some((source) => source.nominalV > EXTRA_LOW_LIMIT_V.ac);
    return missing(texts.notComputed(isMains ? '' : (circuit.gaps[0]?.needs ?? '')));
  }
  return quantity(
    voltageV,
    'V',
    voltageMark(site, circuit),
    voltageV > EXTRA_LOW_LIMIT_V.ac ? 0 : 2,
  );
}

/** The ways or outlets that a connection is fed from. */
function sourcesOf(connection: InletState['consumer']['connection']): readonly string[] {
  const ends = connection.kind === 'landing' ? feedEnds(connection.feed) : [connection.line.from];
  return ends.map((end) => memberKey(end.owner, end.member));
}

/** Without load no cable takes a part of the voltage; of several sources the highest counts. */
function unloadedVoltage(circuit: Circuit, sources: readonly string[]): Quantity | Missing {
  const open = circuit.sources
    .filter((source) => sources.includes(source.id) && Number.isFinite(source.openV))
    .sort((one, other) => other.openV - one.openV)[0];
  return open === undefined
    ? missing(texts.notComputed(''))
    : quantity(open.openV, 'V', open.openV === open.nominalV ? 'stated' : 'computed', 2);
}

/** A voltage is as sure as the cables and the temperature it was computed with. */
function voltageMark(site: Site, circuit: Circuit): Mark {
  const cables = circuit.branches.map((branch) => markOf(branch.basis));
  return leastSure([...cables, judgedTemperature(site).basis]);
}

function pairPlace(
  site: Site,
  device: string,
  member: string,
): Pick<PairReading, 'at' | 'room' | 'terminals'> {
  const resolved = resolvePort(site, device, member);
  return {
    at: memberKey(device, member),
    room: resolved === undefined ? undefined : roomOf(site, resolved.device),
    terminals: resolved?.port.terminals ?? [],
  };
}

/** One bus for each segment. */
function leadBuses(site: Site): readonly Bus[] {
  return [...site.buses.values()]
    .filter((bus) => segmentOf(site, bus).lead === bus)
    .sort((one, other) => compareNames(one.name, other.name));
}

const noRange = { least: '', most: '' } as const;

function rangeAround(
  value: number,
  unit: string,
  digits: number,
): { readonly least: Quantity; readonly most: Quantity } {
  const part = (Math.abs(value) * METER_TOLERANCE_PERCENT) / 100;
  return {
    least: quantity(value - part, unit, 'assumed', digits),
    most: quantity(value + part, unit, 'assumed', digits),
  };
}
