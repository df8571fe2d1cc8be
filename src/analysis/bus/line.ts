/** A segment as a balanced line: receivers, terminators, bias and the resistance of each cable. */
import type { Cable } from '../../model/equipment.js';
import type { ResolvedPort, Site } from '../../model/site.js';
import type { Bus } from '../../model/wiring.js';
import { conductorResistance, loopResistanceOhm } from '../electrical/conductors.js';
import type { Line, LinePoint, LineSection } from '../electrical/signal.js';
import type { UnknownFigure } from './figure.js';
import { graphOf } from './graph.js';
import type { BusCable } from './graph.js';
import { needs } from './needs.js';
import { terminationOf } from './termination.js';

/** What stands for a port whose unit load is not stated. */
export const ASSUMED_UNIT_LOAD = 1;

/** A line with the names of its points being node numbers as text. */
export interface BusLine {
  readonly known: true;
  readonly line: Line;
  readonly hasEstimates: boolean;
}

/** The unit load of a port: the stated one, else 1 for a port that talks. */
export function unitLoadOf({ port }: Pick<ResolvedPort, 'port'>): number {
  return port.unitLoad ?? (isTalking(port.talksAs) ? ASSUMED_UNIT_LOAD : 0);
}

/** Whether a port's unit load had to be assumed. */
export function isUnitLoadAssumed({ port }: Pick<ResolvedPort, 'port'>): boolean {
  return port.unitLoad === undefined && isTalking(port.talksAs);
}

/** The line at a conductor temperature in °C, or what is missing for it. */
export function lineOf(site: Site, bus: Bus, temperatureC: number): BusLine | UnknownFigure {
  const graph = graphOf(site, bus);
  const points = pointsOf(site, bus);
  if (points === undefined) {
    return { known: false, needs: needs.terminateOhm(bus.busType) };
  }
  const perKm = new Map<Cable, number | undefined>();
  const sections: LineSection[] = [];
  for (const cable of graph.cables) {
    const missing = missingFor(cable);
    if (missing !== undefined) {
      return { known: false, needs: missing };
    }
    const type = cable.segment.cable!;
    if (!perKm.has(type)) {
      const resistance = conductorResistance(type.cores!, temperatureC);
      perKm.set(type, resistance.known ? resistance.value : undefined);
    }
    const ohmPerKm = perKm.get(type);
    if (ohmPerKm === undefined) {
      return { known: false, needs: needs.coresInTable(type.name) };
    }
    // A cable that comes back to the same place adds nothing between places.
    if (cable.from !== cable.to) {
      sections.push({
        from: String(cable.from),
        to: String(cable.to),
        loopResistanceOhm: loopResistanceOhm(ohmPerKm, cable.segment.lengthM!),
      });
    }
  }
  const hasEstimates = graph.cables.some(({ segment }) => segment.basis === 'estimated');
  return { known: true, line: { points, sections }, hasEstimates };
}

function isTalking(talksAs: string | undefined): boolean {
  return talksAs === 'controller' || talksAs === 'responder';
}

/** Undefined where a terminator's resistance is not stated. */
function pointsOf(site: Site, bus: Bus): readonly LinePoint[] | undefined {
  const { nodes, nodeOf, segment } = graphOf(site, bus);
  const points = nodes.map((_, node) => ({
    id: String(node),
    unitLoads: 0,
    terminators: [] as { kind: 'resistor'; resistanceOhm: number }[],
    biases: [] as { resistanceEachOhm: number; supplyV: number }[],
  }));
  for (const port of segment.ports) {
    const point = points[nodeOf[port.position]!]!;
    const { bias } = port.resolved.port;
    point.unitLoads += unitLoadOf(port.resolved);
    if (bias !== undefined) {
      point.biases.push({ resistanceEachOhm: bias.ohm, supplyV: bias.volts });
    }
  }
  for (const { node, resistanceOhm } of terminationOf(site, bus).terminators) {
    if (resistanceOhm === undefined) {
      return undefined;
    }
    points[node]!.terminators.push({ kind: 'resistor', resistanceOhm });
  }
  return points;
}

function missingFor({ bus, segment, landing }: BusCable): string | undefined {
  if (segment.lengthM === null) {
    return segment.closesRing ? needs.ringLength : needs.length(landing.name);
  }
  if (segment.cable === undefined) {
    return needs.runCable(bus.name, bus.busType);
  }
  return segment.cable.cores === undefined ? needs.cores(segment.cable.name) : undefined;
}
