/** What may be wrong on a site that is otherwise built as written: one thing at a time. */
import type { Site } from '../../model/site.js';
import { elementKey } from '../graph/elements.js';

/** A cable: of a bus or feed by its position in `segmentsOf`, or of a device's inlet line. */
export type CableAt =
  | { readonly of: 'run'; readonly run: string; readonly position: number }
  | { readonly of: 'line'; readonly device: string; readonly index: number };

/** A landing of a bus. */
export interface LandingAt {
  readonly bus: string;
  readonly index: number;
}

/** A fault. Names are those of the site. */
export type Fault =
  /** Open in one conductor or both. */
  | { readonly kind: 'segment-cut'; readonly at: CableAt }
  /** Off, tripped or a dead fuse: nothing behind the way has voltage. */
  | { readonly kind: 'way-dead'; readonly way: string }
  /** An outlet that gives nothing. */
  | { readonly kind: 'supply-dead'; readonly outlet: string }
  /** A device that neither answers nor gives anything, though its own supply is whole. */
  | { readonly kind: 'device-dead'; readonly device: string }
  /** Behind an outlet or a cable the voltage is there, but less than the devices need. */
  | { readonly kind: 'voltage-low'; readonly behind: LowBehind }
  | { readonly kind: 'terminator-missing'; readonly at: LandingAt }
  | { readonly kind: 'terminator-extra'; readonly at: LandingAt }
  /** The two cores of a polarised pair change places at one landing. */
  | { readonly kind: 'pair-swapped'; readonly at: LandingAt }
  /** Two ports answer to one address. */
  | {
      readonly kind: 'address-duplicate';
      readonly one: PortAt;
      readonly other: PortAt;
    }
  /** An address is set that the controllers never ask. */
  | { readonly kind: 'address-out-of-range'; readonly at: PortAt }
  /** The address or mask that is set puts a host, or the laptop, into another network. */
  | { readonly kind: 'subnet-wrong'; readonly network: string; readonly host: number | 'laptop' };

export type FaultKind = Fault['kind'];

export interface PortAt {
  readonly device: string;
  readonly port: string;
}

/** `takers`: the landings on a powered bus that lie behind a poor joint. */
export type LowBehind =
  | { readonly of: 'outlet'; readonly outlet: string }
  | { readonly of: 'cable'; readonly at: CableAt }
  | {
      readonly of: 'bus-cable';
      readonly at: Extract<CableAt, { of: 'run' }>;
      readonly takers: readonly LandingAt[];
    };

/**
 * How often a fault of a kind is met on a site that has just been wired, one against another.
 * Common practice: most of what is found at commissioning was landed, set or switched wrongly; a cable
 * that was cut or a device that came dead is rarer. Only the order of what explains equally much hangs
 * on these figures.
 */
export const LIKELIHOOD: Readonly<Record<FaultKind, number>> = {
  'segment-cut': 5,
  'way-dead': 6,
  'supply-dead': 3,
  'device-dead': 2,
  'voltage-low': 2,
  'terminator-missing': 8,
  'terminator-extra': 4,
  'pair-swapped': 6,
  'address-duplicate': 1,
  'address-out-of-range': 4,
  'subnet-wrong': 6,
};

/** One text for a fault, the same for the same fault. */
export function faultKey(fault: Fault): string {
  return JSON.stringify(fault);
}

/** How a fault shows itself in one case: what of the network fails. */
export interface Manner {
  /** Keys of elements that fail. */
  readonly elements: readonly string[];
  /** Those of them behind which there is still some voltage. */
  readonly low: readonly string[];
}

/**
 * The ways in which a fault may show itself; usually one. Two devices that answer to one address
 * disturb each other, so that either of them or both are lost (common practice).
 */
export function mannersOf(site: Site, fault: Fault): readonly Manner[] {
  switch (fault.kind) {
    case 'segment-cut':
      return [failing(cableElement(fault.at))];
    case 'way-dead':
      return [failing(named(fault.way))];
    case 'supply-dead':
      return [failing(named(fault.outlet))];
    case 'device-dead':
      return [failing(named(fault.device))];
    case 'voltage-low': {
      const low = lowElements(fault.behind);
      return [{ elements: low, low }];
    }
    case 'terminator-missing':
    case 'terminator-extra':
      return [failing()];
    case 'pair-swapped':
      return [failing(landingElement(fault.at))];
    case 'address-duplicate':
      return [
        failing(voice(fault.one)),
        failing(voice(fault.other)),
        failing(voice(fault.one), voice(fault.other)),
      ];
    case 'address-out-of-range':
      return [failing(voice(fault.at))];
    case 'subnet-wrong':
      return [failing(...subnetElements(site, fault.network, fault.host))];
  }
}

/** The element of the laptop's own address in a network: a page is reached through it. */
export function laptopElement(network: string): string {
  return elementKey({ kind: 'voice', device: '', member: network });
}

function failing(...elements: readonly string[]): Manner {
  return { elements, low: [] };
}

function cableElement(at: CableAt): string {
  return at.of === 'run'
    ? elementKey({ kind: 'cable', run: at.run, position: at.position })
    : elementKey({ kind: 'line', device: at.device, index: at.index });
}

function lowElements(behind: LowBehind): readonly string[] {
  switch (behind.of) {
    case 'outlet':
      return [named(behind.outlet)];
    case 'cable':
      return [cableElement(behind.at)];
    case 'bus-cable':
      // The conversation of devices with a supply of their own passes a poor joint.
      return behind.takers.map(landingElement);
  }
}

function subnetElements(site: Site, network: string, host: number | 'laptop'): readonly string[] {
  if (host === 'laptop') {
    return [laptopElement(network)];
  }
  const line = site.networks.get(network)?.hosts[host];
  return line === undefined ? [] : [voice({ device: line.device, port: line.lan })];
}

function named(name: string): string {
  return elementKey({ kind: 'named', name });
}

function landingElement({ bus, index }: LandingAt): string {
  return elementKey({ kind: 'landing', bus, index });
}

function voice({ device, port }: PortAt): string {
  return elementKey({ kind: 'voice', device, member: port });
}
