import { segmentTo, segmentsOf } from '../analysis/run.js';
import type { Segment } from '../analysis/run.js';
import { part, placeOf } from '../model/origin.js';
import type { Device } from '../model/records.js';
import { equipmentOf, memberKey } from '../model/site.js';
import type { RunLanding, Site } from '../model/site.js';
import type { Bus, Feed } from '../model/wiring.js';
import { defineRule } from './rule.js';
import type { Problem } from './rule.js';
import { measured, metres } from './support/bus-wording.js';

/** A cable whose length was estimated from the positions of the rooms. */
export const lengthEstimated = defineRule({
  name: 'length-estimated',
  severity: 'hint',
  of: 'device',
  acceptable: true,
  *check(site, device) {
    for (const { run, landing } of landingsOf(site, device)) {
      for (const segment of cablesCarriedBy(site, run, landing.index)) {
        if (segment.basis === 'estimated') {
          yield problemOf({ run, landing }, segment);
        }
      }
    }
  },
});

/** The cable that leads to a landing and, at the end of a run that closes, the one that leads on. */
function cablesCarriedBy(site: Site, run: Bus | Feed, index: number): readonly Segment[] {
  const leading = segmentTo(site, run, index);
  const last = segmentsOf(site, run).at(-1);
  return [
    ...(leading === undefined ? [] : [leading]),
    ...(last !== undefined && closesRun(last) && last.from === index ? [last] : []),
  ];
}

function closesRun({ to, closesRing }: Segment): boolean {
  return closesRing || to === 'second-outlet';
}

function landingsOf(site: Site, device: Device): readonly RunLanding[] {
  const inlets = equipmentOf(site, device)?.inlets ?? [];
  return [
    ...(site.busLandingsOfDevice.get(device.name) ?? []),
    ...inlets.flatMap(({ name }) => site.feedLandings.get(memberKey(device.name, name)) ?? []),
  ];
}

function problemOf({ run, landing }: RunLanding, segment: Segment): Problem {
  const lengthM = segment.lengthM ?? 0;
  const name = memberKey(landing.device, landing.member);
  const closes = closesRun(segment);
  return {
    subject: name,
    at: closes ? segment.at : placeOf(run.name, part('land', landing.index, 'target')),
    what: `The cable ${closes ? 'from' : 'to'} ${name} is estimated at ${metres(lengthM)} from the rooms at its ends.`,
    why: 'An estimate is good enough to plan with, and not to order or to prove with.',
    remedy: 'Write the length once it is known.',
    related: [{ at: placeOf(run.name), message: `It belongs to ${run.name}.` }],
    facts: [measured('length', lengthM, 'm')],
  };
}
