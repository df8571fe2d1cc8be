/** What a meter reads between the two wires of an RS-485 pair at each port. */
import { memberKey } from '../../model/site.js';
import type { Site } from '../../model/site.js';
import type { Bus } from '../../model/wiring.js';
import { graphOf } from '../bus/graph.js';
import { lineOf } from '../bus/line.js';
import { segmentOf } from '../bus/segment.js';
import {
  idleVoltages,
  MAXIMUM_UNIT_LOADS,
  meterResistance,
  UNIT_LOAD_OHM,
} from '../electrical/signal.js';
import { memoised } from '../memo.js';
import { judgedTemperature } from '../power/temperature.js';
import { reading, UNKNOWN } from './look.js';
import type { Sight } from './look.js';

/**
 * With nothing but receivers across it a pair reads their resistance or more: never less than that
 * of as many as a driver can carry (TIA/EIA-485-A: 32 unit loads of 12 kohm).
 */
export const OPEN_PAIR_OHM = UNIT_LOAD_OHM / MAXIMUM_UNIT_LOADS;

export interface PairReadings {
  readonly ohm: ReadonlyMap<string, Sight>;
  readonly idle: ReadonlyMap<string, Sight>;
}

/** The readings at each port of a bus's segment, by `device.port`. */
export const pairReadingsOf: (site: Site, bus: Bus) => PairReadings = memoised((site, bus) => {
  const { lead } = segmentOf(site, bus);
  return lead === bus ? readings(site, bus) : pairReadingsOf(site, lead);
});

function readings(site: Site, bus: Bus): PairReadings {
  const { segment, nodeOf } = graphOf(site, bus);
  const line = lineOf(site, bus, judgedTemperature(site).temperatureC);
  const idle = line.known ? idleVoltages(line.line) : undefined;
  const isBiased = segment.ports.some(({ resolved }) => resolved.port.bias !== undefined);
  const ohmAt = new Map<number, Sight>();
  const idleAt = new Map<string, Sight>();
  const ohm = new Map<string, Sight>();
  for (const { landing, position } of segment.landings) {
    const port = memberKey(landing.device, landing.member);
    const node = nodeOf[position]!;
    if (ohm.has(port)) {
      continue;
    }
    if (!ohmAt.has(node)) {
      ohmAt.set(node, line.known ? ohmOf(meterResistance(line.line, String(node))) : UNKNOWN);
    }
    ohm.set(port, ohmAt.get(node)!);
    const volts = idle?.known === true ? idle.points[node]?.voltageV : undefined;
    idleAt.set(port, !isBiased ? reading(0) : volts === undefined ? UNKNOWN : reading(volts));
  }
  return { ohm, idle: idleAt };
}

function ohmOf(resistance: ReturnType<typeof meterResistance>): Sight {
  return resistance.known
    ? reading(resistance.resistanceOhm)
    : reading(OPEN_PAIR_OHM, Number.POSITIVE_INFINITY);
}
