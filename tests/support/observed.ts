/** Sights on a site as observations in it, as a person would write them down. */
import type { Look, Sight } from '../../src/analysis/diagnosis/look.js';
import type { Observation, Seen } from '../../src/model/records.js';
import { buildSite } from '../../src/model/site.js';
import type { Site } from '../../src/model/site.js';
import { supervisionOf } from '../../src/analysis/graph/supervision.js';

export interface Looked {
  readonly look: Look;
  readonly sight: Sight;
}

/** The site with what was seen; all of one day. */
export function observedSite(site: Site, looked: readonly Looked[]): Site {
  const observations = looked.flatMap(({ look, sight }) => observationsFrom(site, look, sight));
  return buildSite([
    ...site.entries,
    ...observations.map((record, index) => ({ id: `observed ${index}`, record })),
  ]);
}

/** What a meter shows where there is no connection. */
const OPEN_OHM = 50_000;

function observationsFrom(site: Site, look: Look, sight: Sight): readonly Observation[] {
  const by = (subject: string, ...seen: readonly Seen[]): readonly Observation[] =>
    seen.map((one) => ({ kind: 'observed', subject, seen: one, on: '2026-11-24' }));
  switch (sight.kind) {
    case 'missing': {
      const { controller } = look as Extract<Look, { kind: 'units' }>;
      const expected = supervisionOf(site, site.devices.get(controller)!)!.units.length;
      return by(
        controller,
        { how: 'finds', count: expected - sight.units.size },
        ...[...sight.units].map((device): Seen => ({ how: 'misses', device })),
      );
    }
    case 'page': {
      const { host } = look as Extract<Look, { kind: 'page' }>;
      return by(
        host,
        sight.opens ? { how: 'page-opens' } : { how: 'page-fails', text: 'no answer' },
      );
    }
    case 'reading': {
      const value = Number.isFinite(sight.high) ? (sight.low + sight.high) / 2 : OPEN_OHM;
      if (look.kind === 'voltage') {
        return by(look.at, { how: 'measures', value, unit: 'V' });
      }
      const { port } = look as Extract<Look, { kind: 'ohm' | 'idle' }>;
      return look.kind === 'ohm'
        ? by(port, { how: 'measures', value, unit: 'ohm', state: 'power-off' })
        : by(port, { how: 'measures', value, unit: 'V', state: 'idle' });
    }
    case 'unknown':
      return [];
  }
}
