import { segmentOf } from '../analysis/bus/segment.js';
import { supplyCandidates } from '../analysis/power/candidates.js';
import { connectionsOf, pointsOf } from '../analysis/power/consumers.js';
import { nominalOfPoint } from '../analysis/power/demand.js';
import { DEFAULT_TOLERANCE_PERCENT, typeDifferences } from '../analysis/power/type-match.js';
import type { TypeDifference } from '../analysis/power/type-match.js';
import { part, placeOf } from '../model/origin.js';
import { equipmentOf, memberKey } from '../model/site.js';
import type { Site } from '../model/site.js';
import type { Device } from '../model/records.js';
import { defineRule } from './rule.js';
import type { Problem } from './rule.js';
import { supplyNeeds } from './support/needs.js';
import { poeMismatches, socketFixes } from './support/poe-problems.js';
import { nominalText, pointPlace, supplyAdvice, targetOf } from './support/power-wording.js';
import { inletOfFinding, moveFixes } from './support/supply-fixes.js';

const REASONS: Readonly<Record<TypeDifference, string>> = {
  'current-kind':
    'A transformer input burns on direct current, and electronics made for direct current burn on alternating current.',
  phases: 'A device for one phase burns between phases, and one for three does not start on one.',
  voltage: 'Too much destroys the device and can hurt people; with too little it does not start.',
};

/** A supply of another kind than the inlet asks for. */
export const supplyTypeMismatch = defineRule({
  name: 'supply-type-mismatch',
  severity: 'error',
  of: 'device',
  acceptable: false,
  needs: supplyNeeds,
  *check(site, device) {
    for (const inlet of equipmentOf(site, device)?.inlets ?? []) {
      const subject = memberKey(device.name, inlet.name);
      const needed = nominalText({ voltage: inlet.voltage, threePhase: inlet.threePhase });
      for (const { connection, at } of connectionsOf(site, device.name, inlet.name)) {
        for (const point of pointsOf(site, connection)) {
          const nominal = nominalOfPoint(point);
          const [first] = typeDifferences(inlet, nominal);
          if (first === undefined) {
            continue;
          }
          yield {
            subject,
            at: targetOf(at),
            what: `${subject} needs ${needed} (within ${inlet.tolerancePercent ?? DEFAULT_TOLERANCE_PERCENT} %), but ${point.key} gives ${nominalText(nominal)}.`,
            why: REASONS[first],
            remedy: supplyAdvice(
              supplyCandidates(site, device, inlet, 1),
              `Feed it from a way or outlet of ${needed}.`,
            ),
            related: [pointPlace(point, `${point.key} gives ${nominalText(nominal)}.`)],
          };
          break;
        }
      }
    }
    yield* givenMismatches(site, device);
    yield* poeMismatches(site, device);
  },
  fixes(site, finding) {
    const moved = inletOfFinding(site, finding);
    return moved === undefined ? socketFixes(site, finding) : moveFixes(site, moved);
  },
});

/** A port that gives another voltage than its bus carries. */
function* givenMismatches(site: Site, device: Device): Iterable<Problem> {
  for (const port of equipmentOf(site, device)?.ports ?? []) {
    const subject = memberKey(device.name, port.name);
    for (const { run, landing } of site.busLandings.get(subject) ?? []) {
      const carried = segmentOf(site, run).busType?.power?.nominal;
      const given = port.gives?.voltage;
      if (carried === undefined || given === undefined || port.busType !== run.busType) {
        continue;
      }
      const asInlet = { ...NO_INLET, voltage: carried };
      const [first] = typeDifferences(asInlet, { voltage: given, threePhase: false });
      if (first === undefined) {
        continue;
      }
      const carriedText = nominalText({ voltage: carried, threePhase: false });
      const givenText = nominalText({ voltage: given, threePhase: false });
      yield {
        subject,
        at: placeOf(run.name, part('land', landing.index, 'target')),
        what: `${subject} gives ${givenText}, but ${run.name} carries ${carriedText}.`,
        why: REASONS[first],
        remedy: `Power the bus from a port that gives ${carriedText}.`,
        related: [
          {
            at: placeOf(run.busType, 'power'),
            message: `The bus type carries ${carriedText}.`,
          },
        ],
      };
    }
  }
}

/** A bus compared like an inlet: one phase, the usual tolerance. */
const NO_INLET = {
  name: '',
  threePhase: false,
  terminals: [],
  dedicated: false,
  exposed: false,
  optional: false,
  isolates: false,
  doubleInsulated: false,
} as const;
