/** What people saw on site, by subject; a later record takes the place of an earlier one. */
import type { DeclarationId } from '../model/origin.js';
import type { Observation, Seen } from '../model/records.js';
import type { Site } from '../model/site.js';

/** An observation with the key of its declaration. */
export interface Observed<Kind extends Seen['how'] = Seen['how']> {
  readonly id: DeclarationId;
  readonly subject: string;
  readonly seen: Extract<Seen, { readonly how: Kind }>;
  /** ISO date. */
  readonly on: string | undefined;
}

/** The observations of a subject in text order. */
export function observationsOf(site: Site, subject: string): readonly Observed[] {
  return (site.observationsOf.get(subject) ?? []).map(({ id, record }) => observed(id, record));
}

/** The latest observation of a kind; of one day the last in the text. Those without a date are the oldest. */
export function lastSeen<Kind extends Seen['how']>(
  observations: readonly Observed[],
  kind: Kind,
): Observed<Kind> | undefined {
  let last: Observed | undefined;
  for (const observation of observations) {
    if (observation.seen.how !== kind) {
      continue;
    }
    if (last === undefined || (observation.on ?? '') >= (last.on ?? '')) {
      last = observation;
    }
  }
  return last as Observed<Kind> | undefined;
}

export type Measurement = Observed<'measures'>;

/** The latest reading of each kind: a kind is a unit and the state of the plant while reading. */
export function lastMeasured(observations: readonly Observed[]): readonly Measurement[] {
  const kinds = new Map<string, Measurement>();
  for (const observation of observations) {
    if (observation.seen.how !== 'measures') {
      continue;
    }
    const measurement = { ...observation, seen: observation.seen };
    const kind = `${measurement.seen.unit} ${measurement.seen.state ?? ''}`;
    if ((measurement.on ?? '') >= (kinds.get(kind)?.on ?? '')) {
      kinds.set(kind, measurement);
    }
  }
  return [...kinds.values()];
}

function observed(id: DeclarationId, record: Observation): Observed {
  return { id, subject: record.subject, seen: record.seen, on: record.on };
}
