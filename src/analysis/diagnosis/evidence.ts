/** The observations of a site as evidence: what was looked at, and which predictions they agree with. */
import type { DeclarationId } from '../../model/origin.js';
import type { Seen } from '../../model/records.js';
import { compareNames, memberKey } from '../../model/site.js';
import type { Site } from '../../model/site.js';
import { signalOf } from '../bus/signal.js';
import { DEFAULT_WITHIN_PERCENT } from '../compared-reading.js';
import { controllersOf } from '../graph/supervision.js';
import { lastMeasured, observationsOf } from '../observations.js';
import type { Measurement } from '../observations.js';
import { sightingsOf } from '../sightings.js';
import { lookKey, UNKNOWN } from './look.js';
import type { Look, Sight } from './look.js';

/** An observation of any kind. */
export interface AnyObserved {
  readonly id: DeclarationId;
  readonly subject: string;
  readonly seen: Seen;
  /** ISO date. */
  readonly on: string | undefined;
}

/** One observation, tied to what it is an observation of. */
export interface Evidence {
  readonly look: string;
  readonly observed: AnyObserved;
  /**
   * How far a prediction is from what was seen: 0 where they agree, 1 at the tolerance, above 1 where
   * they contradict each other. `intact` is what the site gives while nothing is wrong.
   */
  readonly distance: (predicted: Sight, intact: Sight) => number;
}

/** What people saw, by what it says of the wiring. */
export interface SeenOnSite {
  readonly evidence: readonly Evidence[];
  /** Observations that no prediction is made for. */
  readonly unused: readonly AnyObserved[];
  /** The looks that an observation settles, so that looking again tells nothing. */
  readonly settled: ReadonlySet<string>;
}

export function seenOn(site: Site, looks: readonly Look[]): SeenOnSite {
  const known = new Set(looks.map(lookKey));
  const all = [
    ...controllersOf(site).flatMap(({ name }) => countEvidence(site, name)),
    ...[...site.observationsOf.keys()]
      .sort(compareNames)
      .flatMap((subject) => [
        ...lastMeasured(observationsOf(site, subject)).map((one) => measured(site, one)),
        ...pageEvidence(site, subject),
      ]),
  ];
  const evidence = all.filter(({ look }) => known.has(look));
  const settled = new Set(
    evidence
      .filter(({ look, observed }) => observed.seen.how !== 'misses' && isSettled(site, look))
      .map(({ look }) => look),
  );
  return {
    evidence,
    unused: all.filter(({ look }) => !known.has(look)).map(({ observed }) => observed),
    settled,
  };
}

/** A count settles the list of a controller where every unit that it lacks was written down. */
function isSettled(site: Site, look: string): boolean {
  if (!look.startsWith('units ')) {
    return true;
  }
  const device = site.devices.get(look.slice('units '.length));
  if (device === undefined) {
    return true;
  }
  const { expected, count, missed } = sightingsOf(site, device);
  return count !== undefined && count.seen.count + missed.length === expected.length;
}

function countEvidence(site: Site, controller: string): readonly Evidence[] {
  const device = site.devices.get(controller)!;
  const { expected, count, missed } = sightingsOf(site, device);
  const look = lookKey({ kind: 'units', controller });
  const counted: readonly Evidence[] =
    count === undefined
      ? []
      : [
          {
            look,
            observed: count,
            distance: (predicted) =>
              predicted.kind === 'missing' &&
              expected.length - predicted.units.size === count.seen.count
                ? 0
                : AGAINST,
          },
        ];
  return [
    ...counted,
    ...missed.map((observed): Evidence => ({
      look,
      observed,
      distance: (predicted) =>
        predicted.kind === 'missing' && predicted.units.has(observed.seen.device) ? 0 : AGAINST,
    })),
  ];
}

/** More than any tolerance. */
const AGAINST = 1000;

function measured(site: Site, observed: Measurement): Evidence {
  const within = (observed.seen.withinPercent ?? DEFAULT_WITHIN_PERCENT) / 100;
  return {
    look: lookOfReading(site, observed) ?? '',
    observed,
    distance: (predicted, intact) => distanceOf(observed.seen.value, within, predicted, intact),
  };
}

/**
 * Off by parts of the tolerance. Where nothing is predicted, a meter shows what it picks up: up to the
 * same part of what would be there otherwise counts as nothing (common practice).
 */
function distanceOf(value: number, within: number, predicted: Sight, intact: Sight): number {
  if (predicted.kind === 'unknown') {
    return 0;
  }
  if (predicted.kind !== 'reading') {
    return AGAINST;
  }
  const { low, high } = predicted;
  if (low === high) {
    const reference = low !== 0 ? Math.abs(low) : intact.kind === 'reading' ? intact.high : 0;
    const allowed = reference * within;
    return value === low ? 0 : allowed > 0 ? Math.abs(value - low) / allowed : AGAINST;
  }
  const off = value < low ? (low - value) / Math.abs(low) : (value - high) / Math.abs(high);
  return value >= low && value <= high ? 0 : off / within;
}

/** A bus is read where the commissioning sheet says: ohms at its head, idle voltage where it is least. */
function lookOfReading(site: Site, { subject, seen }: Measurement): string | undefined {
  const kind =
    seen.unit === 'ohm' && seen.state === 'power-off'
      ? 'ohm'
      : seen.unit === 'V' && seen.state === 'idle'
        ? 'idle'
        : undefined;
  if (kind === undefined) {
    return seen.unit === 'V' && seen.state === undefined ? `voltage ${subject}` : undefined;
  }
  const bus = site.buses.get(subject);
  if (bus === undefined) {
    return `${kind} ${subject}`;
  }
  const head = bus.landings[0];
  const idle = signalOf(site, bus)?.idle;
  const port =
    kind === 'ohm'
      ? head && memberKey(head.device, head.member)
      : idle?.known === true
        ? idle.at.name
        : undefined;
  return port === undefined ? undefined : `${kind} ${port}`;
}

function pageEvidence(site: Site, subject: string): readonly Evidence[] {
  let last: AnyObserved | undefined;
  for (const observed of observationsOf(site, subject)) {
    const { how } = observed.seen;
    const isPage = how === 'page-opens' || how === 'page-fails';
    if (isPage && (observed.on ?? '') >= (last?.on ?? '')) {
      last = observed;
    }
  }
  if (last === undefined) {
    return [];
  }
  const { seen } = last;
  const answers =
    seen.how === 'page-opens' || (seen.how === 'page-fails' && ANSWERED.test(seen.text));
  return [
    {
      look: `page ${subject}`,
      observed: last,
      distance: (predicted) =>
        predicted.kind === 'unknown' || (predicted.kind === 'page' && predicted.opens === answers)
          ? 0
          : AGAINST,
    },
  ];
}

/** A page that shows something wrong was reached: cables, power and addresses are not to blame. */
const ANSWERED = /certificate|expired|issuer|self-signed|fingerprint|redirect|log ?in|password/iu;

/** What a picture says of a look: what it changes, else what the intact site gives. */
export function sightIn(
  picture: ReadonlyMap<string, Sight>,
  intact: (look: string) => Sight,
  look: string,
): Sight {
  return picture.get(look) ?? intact(look) ?? UNKNOWN;
}
