/** The circuit of a powered bus: giving ports as sources, taking ports as loads, all landings as nodes. */
import type { Bus } from '../../model/wiring.js';
import type { Site } from '../../model/site.js';
import { graphOf } from '../bus/graph.js';
import type { BusCable, BusGraph } from '../bus/graph.js';
import { landingPlace } from '../bus/segment.js';
import { memoised } from '../memo.js';
import { poweredSegmentOf } from './bus-load.js';
import type { Gap, PoweredSegment } from './bus-load.js';
import type { Circuit, CircuitBranch, CircuitMember } from './circuit.js';
import { powerTexts } from './texts.js';

/** The circuit of a bus's segment, the same object for all its buses; undefined where nothing powers it. */
export const circuitOfBus: (site: Site, bus: Bus) => Circuit | undefined = memoised((site, bus) => {
  const graph = graphOf(site, bus);
  const { lead } = graph.segment;
  if (lead !== bus) {
    return circuitOfBus(site, lead);
  }
  const powered = poweredSegmentOf(site, bus);
  return powered && buildCircuit(site, graph, powered);
});

function buildCircuit(site: Site, graph: BusGraph, powered: PoweredSegment): Circuit {
  const gaps: Gap[] = [...powered.gaps];
  const takers = new Map(powered.takers.map((taker) => [taker.port.position, taker]));
  // A landing whose names are not known may take anything.
  for (const landing of graph.segment.landings) {
    if (landing.resolved === undefined) {
      gaps.push({
        subject: landing.name,
        needs: powerTexts.needsName(landing.name),
        reason: powerTexts.nameUnknown(landing.name),
      });
    }
  }
  const branches = graph.cables.map((cable): CircuitBranch => {
    gaps.push(...gapsOfCable(site, cable));
    return {
      id: `cable ${cable.position}`,
      from: nodeName(cable.from),
      to: nodeName(cable.to),
      lengthM: cable.segment.lengthM ?? 0,
      basis: cable.segment.basis,
      cable: cable.segment.cable,
      at: landingPlace(cable.landing),
    };
  });
  return {
    nominalV: powered.nominalV,
    threePhase: false,
    nodes: graph.nodes.map((landings, index) => ({
      id: nodeName(index),
      members: landings.map((landing): CircuitMember => ({
        subject: landing.name,
        at: landingPlace(landing),
        load: takers.get(landing.position)?.load,
        nominalA: takers.get(landing.position)?.currentA ?? 0,
      })),
    })),
    branches,
    sources: powered.givers.map((giver) => ({
      id: giver.port.name,
      node: nodeName(graph.nodeOf[giver.port.position]!),
      nominalV: giver.voltageV,
      openV: giver.voltageV,
      resistanceOhm: 0,
      resistanceAssumed: true,
      decoupled: false,
    })),
    gaps,
  };
}

function gapsOfCable(site: Site, cable: BusCable): readonly Gap[] {
  const { bus, segment, landing } = cable;
  const subject = landing.name;
  const gaps: Gap[] = [];
  if (segment.lengthM === null) {
    gaps.push({
      subject,
      needs: segment.closesRing ? powerTexts.needsRing : powerTexts.needsLength(subject),
      reason: powerTexts.lengthUnknown(subject),
    });
  }
  if (segment.cableName === undefined) {
    gaps.push({
      subject,
      needs: powerTexts.needsBusCable(bus.name, bus.busType),
      reason: powerTexts.cableUnstated(subject),
    });
  } else if (segment.cable === undefined) {
    gaps.push({
      subject,
      needs: powerTexts.needsName(segment.cableName),
      reason: powerTexts.nameUnknown(segment.cableName),
    });
  } else if (segment.cable.cores === undefined) {
    gaps.push({
      subject,
      needs: powerTexts.needsCores(segment.cable),
      reason: powerTexts.coresUnstated(segment.cable.name),
    });
  }
  return gaps;
}

function nodeName(index: number): string {
  return `node ${index}`;
}
