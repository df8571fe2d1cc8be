import { cableFaults, cablesFor } from '../analysis/bus/cable-fit.js';
import type { CableFault } from '../analysis/bus/cable-fit.js';
import { segmentsOf } from '../analysis/run.js';
import type { BusType, Cable } from '../model/equipment.js';
import { part, placeOf } from '../model/origin.js';
import type { Place } from '../model/origin.js';
import { sizeText } from '../model/quantity.js';
import type { Site } from '../model/site.js';
import type { Bus } from '../model/wiring.js';
import { defineRule } from './rule.js';
import { busPlace, counted, limitPlace, listed } from './support/bus-wording.js';

/** How many other cables are offered. */
const OFFERED_CABLES = 3;

/** A cable that is not what the bus type asks for. */
export const cableUnsuitable = defineRule({
  name: 'cable-unsuitable',
  severity: 'error',
  of: 'bus',
  acceptable: true,
  *check(site, bus) {
    const busType = site.busTypes.get(bus.busType);
    if (busType === undefined) {
      return;
    }
    for (const { cable, at } of usesOf(site, bus)) {
      const faults = cableFaults(busType, cable);
      if (faults.length > 0) {
        yield {
          subject: bus.name,
          at,
          what: `${cable.name} ${listed(faults.map((fault) => faultText(fault, cable)))}, and ${busType.name} asks for ${wantedText(busType)}.`,
          why: 'The link is only proven on the cable that its type asks for: another one weakens the signal or picks up noise.',
          remedy: remedyFor(site, busType),
          related: [
            busPlace(bus),
            { at: placeOf(cable.name), message: `${cable.name} is described here.` },
            limitPlace(busType, 'cable', `${bus.busType} asks for ${wantedText(busType)}.`),
          ],
        };
      }
    }
  },
  fixes(site, finding) {
    const bus = site.buses.get(finding.at.declaration);
    const busType = bus && site.busTypes.get(bus.busType);
    if (bus === undefined || busType === undefined) {
      return [];
    }
    return cablesFor(site, busType)
      .slice(0, OFFERED_CABLES)
      .map((cable) => ({
        title: `Use ${cable.name}`,
        kind: 'wiring',
        edits: [
          finding.at.part === 'cable'
            ? { kind: 'set-run-cable', run: bus.name, cable: cable.name }
            : { kind: 'replace-value', at: finding.at, text: cable.name },
        ],
      }));
  },
});

/** Each statement of a cable that some piece of the bus follows. */
function usesOf(site: Site, bus: Bus): readonly { readonly cable: Cable; readonly at: Place }[] {
  const found = new Map<string, { cable: Cable; at: Place }>();
  for (const { to, closesRing, cable } of segmentsOf(site, bus)) {
    const own = typeof to === 'number' && !closesRing && bus.landings[to]!.cable !== undefined;
    const at = placeOf(bus.name, own ? part('land', to, 'cable') : 'cable');
    if (cable !== undefined && !found.has(at.part)) {
      found.set(at.part, { cable, at });
    }
  }
  return [...found.values()];
}

function faultText(fault: CableFault, cable: Cable): string {
  switch (fault) {
    case 'too-thin':
    case 'too-thick':
      return `has ${sizeText(cable.cores!.size)}`;
    case 'not-screened':
      return 'has no screen';
    case 'not-twisted':
      return 'is not twisted';
    case 'too-few-cores':
      return `has ${counted(cable.cores!.count, 'core')}`;
  }
}

function wantedText({ cable, conductors }: BusType): string {
  const size = cable && `${sizeText(cable.from)} to ${sizeText(cable.to)}`;
  return [
    ...(conductors === undefined ? [] : [`${conductors} cores`]),
    ...(size === undefined ? [] : [size]),
    ...(cable?.screened === true ? ['screened'] : []),
    ...(cable?.twisted === true ? ['twisted'] : []),
  ].join(', ');
}

function remedyFor(site: Site, busType: BusType): string {
  const [first] = cablesFor(site, busType);
  return first === undefined
    ? `Describe and use a cable with ${wantedText(busType)}.`
    : `Use ${first.name}, which fits.`;
}
