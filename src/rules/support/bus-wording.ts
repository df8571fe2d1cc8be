/** How rules about buses name things, and the places that they point at. */
import type { LengthSum } from '../../analysis/bus/geometry.js';
import { segmentOf, talkDomainOf } from '../../analysis/bus/segment.js';
import type { BusLanding, BusPort, BusSegment, TalkDomain } from '../../analysis/bus/segment.js';
import type { BusType } from '../../model/equipment.js';
import type { Finding, Measured, RelatedPlace } from '../../model/finding.js';
import { part, placeOf } from '../../model/origin.js';
import type { Place } from '../../model/origin.js';
import { formatNumber } from '../../model/quantity.js';
import type { Site } from '../../model/site.js';
import type { Bus, Landing } from '../../model/wiring.js';

/** A segment whose type is known, as the rules about whole segments are asked of it. */
export type TypedSegment = BusSegment & { readonly busType: BusType };

/** The segment at its leading bus, so that a rule about it speaks once; undefined for its other buses. */
export function ledSegment(site: Site, bus: Bus): TypedSegment | undefined {
  const segment = segmentOf(site, bus);
  const { busType } = segment;
  return segment.lead === bus && busType !== undefined ? { ...segment, busType } : undefined;
}

/** The same for everything that hears each other over repeaters. */
export function ledDomain(
  site: Site,
  bus: Bus,
): (TalkDomain & { readonly busType: BusType }) | undefined {
  const domain = talkDomainOf(site, bus);
  const busType = site.busTypes.get(bus.busType);
  return domain.lead === bus && busType !== undefined ? { ...domain, busType } : undefined;
}

/** Ports on a domain in order, each once. */
export function portsOfDomain({ segments }: TalkDomain): readonly BusPort[] {
  return segments.flatMap((segment) => segment.ports);
}

/** Landings on a domain in order. */
export function landingsOfDomain({ segments }: TalkDomain): readonly BusLanding[] {
  return segments.flatMap((segment) => segment.landings);
}

/** The place of a landing or of a part of it. */
export function landingPlace(
  { bus, landing }: { readonly bus: Bus; readonly landing: Landing },
  ...steps: readonly string[]
): Place {
  return placeOf(bus.name, part('land', landing.index, ...steps));
}

/** Whether a finding about a landing would repeat one about its names or its type. */
export function isSettledElsewhere(landing: BusLanding): boolean {
  return !landing.fits;
}

/** The bus as a related place. */
export function busPlace(bus: Bus, message = `The bus is ${bus.name}.`): RelatedPlace {
  return { at: placeOf(bus.name), message };
}

/** The line of the bus type that states a limit. */
export function limitPlace(busType: BusType, line: string, message: string): RelatedPlace {
  return { at: placeOf(busType.name, line), message };
}

/** Another landing as a related place. */
export function relatedLanding(landing: BusLanding, message: string): RelatedPlace {
  return { at: landingPlace(landing, 'target'), message };
}

/** Lengths as people read them: to the centimetre. */
export function metres(lengthM: number): string {
  return `${formatNumber(lengthM, 2)} m`;
}

/** A voltage to the millivolt. */
export function volts(voltage: number): string {
  return `${formatNumber(voltage, 3)} V`;
}

/** A sum of cable lengths with what is not certain about it. */
export function lengthText({ knownM, estimatedM, unknown }: LengthSum): string {
  const least = unknown.length > 0 ? 'at least ' : '';
  const estimated = estimatedM > 0 ? ` (${metres(estimatedM)} of it estimated)` : '';
  return `${least}${metres(knownM)}${estimated}`;
}

/** `1 port`, `2 ports`. */
export function counted(count: number, noun: string): string {
  return `${formatNumber(count)} ${noun}${count === 1 ? '' : 's'}`;
}

/** `A`, `A and B`, `A, B and C`; of more than four the first three and how many more. */
export function listed(names: readonly string[]): string {
  const shown = names.length > 4 ? [...names.slice(0, 3), `${names.length - 3} more`] : names;
  return shown.length < 2
    ? shown.join('')
    : `${shown.slice(0, -1).join(', ')} and ${shown.at(-1)!}`;
}

/** A name with the article that reads right before it: an outlet, a unit, a one-way link. */
export function withArticle(name: string): string {
  return `${/^(?!uni|use|eu|one)[aeiou]/iu.test(name) ? 'an' : 'a'} ${name}`;
}

/** A measured value as a fact of a finding. */
export function measured(fact: string, value: number, unit: string): Measured {
  return { fact, value, unit };
}

/** The landing at which a finding of a bus stands; undefined where it stands elsewhere. */
export function landingOfFinding(
  site: Site,
  { at }: Pick<Finding, 'at'>,
): { readonly bus: Bus; readonly landing: Landing } | undefined {
  const bus = site.buses.get(at.declaration);
  const [kind, index] = at.part.split('/');
  const landing = kind === 'land' ? bus?.landings[Number(index)] : undefined;
  return bus && landing && { bus, landing };
}
