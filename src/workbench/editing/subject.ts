/** What a position is about, for pictures: the device, bus or place under the cursor. */
import { markText } from '../../drawing/scene/places.js';
import { placeOf } from '../../model/origin.js';
import type { OpenSite } from '../open-site.js';
import { targetAt, type Cursor } from './cursor.js';

export interface SubjectAt {
  readonly name: string;
  readonly kind: 'device' | 'bus' | 'feed' | 'board' | 'area' | 'room' | 'network' | 'other';
  readonly place: string;
  /** The bus or feed that the position is in, or the subject itself where it is one. */
  readonly run?: string;
}

const kinds: ReadonlySet<string> = new Set(['device', 'bus', 'feed', 'board', 'area', 'network']);

export function subjectOf(open: OpenSite, cursor: Cursor): SubjectAt | undefined {
  const { id, declaration } = cursor;
  if (id === undefined || declaration === undefined) {
    return undefined;
  }
  const { record } = declaration;
  const run = record.kind === 'bus' || record.kind === 'feed' ? record.name : runOfDevice(open, id);
  // On a landing the device is meant, elsewhere in a declaration the declaration.
  const landing = /^land\/(\d+)/u.exec(cursor.part ?? '')?.[1];
  const landed =
    record.kind === 'bus' || record.kind === 'feed'
      ? record.landings.find((one) => String(one.index) === landing)?.device
      : undefined;
  const named = landed ?? targetAt(open, cursor)?.place.declaration ?? id;
  const kind = open.site.byName.get(named)?.record.kind ?? 'other';
  return {
    name: named,
    kind: kinds.has(kind) ? (kind as SubjectAt['kind']) : 'other',
    place: markText(placeOf(named)),
    ...(run === undefined ? {} : { run }),
  };
}

/** The first bus that a device is landed on, else the feed. */
function runOfDevice(open: OpenSite, name: string): string | undefined {
  const bus = open.site.busLandingsOfDevice.get(name)?.[0]?.run.name;
  if (bus !== undefined) {
    return bus;
  }
  for (const [key, landings] of open.site.feedLandings) {
    if (key.startsWith(`${name}.`)) {
      return landings[0]?.run.name;
    }
  }
  return undefined;
}
