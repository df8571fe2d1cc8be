import { sufficientConductor, undersizedIn } from '../analysis/power/ampacity.js';
import type { UndersizedConductor } from '../analysis/power/ampacity.js';
import { circuitOfBus } from '../analysis/power/bus-circuit.js';
import type { Circuit } from '../analysis/power/circuit.js';
import { circuitOfFeed, circuitsOfLines } from '../analysis/power/supply-circuit.js';
import { connectionsOf } from '../analysis/power/consumers.js';
import { segmentOf } from '../analysis/bus/segment.js';
import type { Place } from '../model/origin.js';
import type { Device } from '../model/records.js';
import { equipmentOf } from '../model/site.js';
import type { Site } from '../model/site.js';
import { placeOf } from '../model/origin.js';
import { sizeText } from '../model/quantity.js';
import { defineRule } from './rule.js';
import { landingOfFinding, measured } from './support/bus-wording.js';
import { supplyNeeds } from './support/needs.js';
import { amount, runPlace, targetOf } from './support/power-wording.js';
import { connectionCableFixes, inletOfFinding, landingCableFixes } from './support/supply-fixes.js';
import { beyond } from './support/margin-wording.js';

/** A cable that carries, or is protected for, more than its conductors bear. */
export const conductorUndersized = defineRule({
  name: 'conductor-undersized',
  severity: 'error',
  of: 'device',
  acceptable: false,
  needs: supplyNeeds,
  *check(site, device) {
    for (const { circuit, at, subject } of cablesTo(site, device)) {
      const undersized = firstOfItsKind(undersizedIn(site, circuit), at);
      if (undersized === undefined) {
        continue;
      }
      const { cable, ampacity, loadA, protectionA } = undersized;
      const limitA = ampacity.currentA;
      const isFromMemory = ampacity.source.sureness === 'from-memory';
      const carries = loadA !== undefined && loadA > limitA;
      const enough = sufficientConductor(undersized);
      const what = carries
        ? `carries ${amount(loadA, 'A', limitA)}`
        : `is protected by ${amount(protectionA ?? 0, 'A', limitA)}`;
      yield {
        subject,
        at: targetOf(at),
        what: `The ${cable.name} to ${at.part.startsWith('land/') ? nameAt(site, at) : subject} ${what}, more than the ${amount(limitA, 'A')} that it may carry${beyond(carries ? loadA : (protectionA ?? 0), limitA)}. Source of the limit: ${ampacity.source.text}.`,
        why: carries
          ? 'The cable gets hotter than its insulation bears.'
          : 'In an overload the cable burns before the protective device lets go.',
        remedy: `Use a larger cable${enough === undefined ? '' : ` (${sizeText(enough)} or more)`}, or ${
          carries ? 'move load to another supply' : 'a smaller protective device'
        }.`,
        related: [
          {
            at: placeOf(cable.name, ampacity.basis === 'stated' ? 'ampacity' : 'cores'),
            message: `The cable is described here.`,
          },
          ...(site.feeds.has(at.declaration) || site.buses.has(at.declaration)
            ? [runPlace(at.declaration)]
            : []),
        ],
        facts: [
          measured('ampacity', limitA, 'A'),
          ...(loadA === undefined ? [] : [measured('current', loadA, 'A')]),
          ...(protectionA === undefined ? [] : [measured('protection', protectionA, 'A')]),
        ],
        ...(isFromMemory ? { severity: 'warning' as const } : {}),
      };
    }
  },
  fixes(site, finding) {
    const inlet = inletOfFinding(site, finding);
    const landed = landingOfFinding(site, finding);
    const bears = (trial: Site): boolean => {
      const name = inlet?.device.name ?? landed?.landing.device ?? '';
      const device = trial.devices.get(name);
      return (
        device !== undefined &&
        cablesTo(trial, device)
          .filter((one) => one.subject === finding.subject)
          .every(({ circuit }) => undersizedIn(trial, circuit).length === 0)
      );
    };
    if (inlet !== undefined) {
      return connectionCableFixes(site, inlet.connection, bears);
    }
    if (landed === undefined) {
      return [];
    }
    const { busType } = segmentOf(site, landed.bus);
    const run = { record: landed.bus, ...(busType === undefined ? {} : { busType }) };
    return landingCableFixes(site, run, landed.landing.index, bears);
  },
});

interface CableTo {
  readonly circuit: Circuit;
  readonly at: Place;
  readonly subject: string;
}

/** The cables that lead to a device's inlets and powered ports. */
function cablesTo(site: Site, device: Device): readonly CableTo[] {
  const lines = circuitsOfLines(site, device);
  const inlets = (equipmentOf(site, device)?.inlets ?? []).flatMap((inlet) =>
    connectionsOf(site, device.name, inlet.name).flatMap(
      ({ connection, at, subject }): readonly CableTo[] => {
        if (connection.kind === 'landing') {
          const circuit = circuitOfFeed(site, connection.feed);
          return [{ circuit, at, subject: connection.feed.name }];
        }
        const circuit = lines.get(connection.line.index);
        return circuit === undefined ? [] : [{ circuit, at, subject }];
      },
    ),
  );
  const ports = (site.busLandingsOfDevice.get(device.name) ?? []).flatMap(
    ({ run, landing }): readonly CableTo[] => {
      const circuit = circuitOfBus(site, run);
      const at = placeOf(run.name, `land/${landing.index}`);
      return circuit === undefined ? [] : [{ circuit, at, subject: run.name }];
    },
  );
  return [...inlets, ...ports];
}

/** The undersized piece that leads here, unless an earlier piece of the same run has the same cable. */
function firstOfItsKind(
  undersized: readonly UndersizedConductor[],
  at: Place,
): UndersizedConductor | undefined {
  const here = undersized.find(
    (one) => one.at.declaration === at.declaration && one.at.part === at.part,
  );
  const first = undersized.find(
    (one) => one.at.declaration === at.declaration && one.cable === here?.cable,
  );
  return first === here ? here : undefined;
}

function nameAt(site: Site, at: Place): string {
  const run = site.feeds.get(at.declaration) ?? site.buses.get(at.declaration);
  const landing = run?.landings.find((one) => at.part === `land/${one.index}`);
  return landing === undefined ? at.declaration : `${landing.device}.${landing.member}`;
}
