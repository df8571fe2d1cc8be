import { circuitOfBus } from '../analysis/power/bus-circuit.js';
import { collapseOf, stateAt, stateOf } from '../analysis/power/circuit.js';
import type { Circuit } from '../analysis/power/circuit.js';
import { isBehindMissingSupply, isPoweredByMissingSupply } from '../analysis/power/missing.js';
import { sizingOf } from '../analysis/power/sizing.js';
import { judgedTemperature } from '../analysis/power/temperature.js';
import { collapseTurnsAtC, inletStatesOf, lastStrawOf } from '../analysis/power/voltages.js';
import { segmentOf } from '../analysis/bus/segment.js';
import type { Place } from '../model/origin.js';
import type { Site } from '../model/site.js';
import type { Device } from '../model/records.js';
import { defineRule } from './rule.js';
import { measured } from './support/bus-wording.js';
import { amount, atTemperature, runPlace, targetOf, turningText } from './support/power-wording.js';
import { cableAdvice, sizingFacts } from './support/sizing-wording.js';
import { connectionCableFixes, inletOfFinding, landingCableFixes } from './support/supply-fixes.js';
import { landingOfFinding } from './support/bus-wording.js';
import { supplyNeeds } from './support/needs.js';

/** A feed, line or powered bus that has no operating point: its loads ask for more than the cable can carry. */
export const voltageCollapse = defineRule({
  name: 'voltage-collapse',
  severity: 'error',
  of: 'device',
  acceptable: true,
  needs: supplyNeeds,
  *check(site, device) {
    for (const { circuit, at, subject, lacksSupply } of circuitsAt(site, device)) {
      if (stateOf(site, circuit).kind !== 'collapsed' || lacksSupply()) {
        continue;
      }
      const straw = lastStrawOf(site, circuit);
      if (straw === undefined || !isSame(straw.at, at)) {
        continue;
      }
      const margin = collapseOf(site, circuit);
      const factor = margin?.kind === 'factor' ? margin.factor : 0;
      const share =
        factor > 0
          ? `: it could carry ${amount(100 * factor, '%', 100)} of its constant-power loads`
          : '';
      const turning = turningText(collapseTurnsAtC(site, circuit));
      const { temperatureC } = judgedTemperature(site);
      const sizing = sizingOf(
        circuit,
        at,
        (changed) => stateAt(changed, temperatureC).kind === 'operating',
      );
      yield {
        subject,
        at: targetOf(at),
        what: `With ${straw.subject}, ${subject} has no operating point ${atTemperature(judgedTemperature(site))}${share}.${turning}`,
        why: 'The lower the voltage, the more current the loads draw, until it breaks down: nothing on it works.',
        remedy: cableAdvice(sizing, straw.subject, 'split the loads over two supplies'),
        related:
          site.feeds.has(at.declaration) || site.buses.has(at.declaration)
            ? [runPlace(at.declaration)]
            : [],
        facts: [measured('collapse-margin', factor, ''), ...sizingFacts(sizing)],
        waivable: { value: factor, unit: '', lowerIsWorse: true },
      };
    }
  },
  fixes(site, finding) {
    const inlet = inletOfFinding(site, finding);
    const landed = landingOfFinding(site, finding);
    const stands = (trial: Site): boolean => {
      const name = inlet?.device.name ?? landed?.landing.device ?? '';
      const device = trial.devices.get(name);
      return (
        device !== undefined &&
        circuitsAt(trial, device)
          .filter((one) => one.subject === finding.subject)
          .every(({ circuit }) => stateOf(trial, circuit).kind === 'operating')
      );
    };
    if (inlet !== undefined) {
      return connectionCableFixes(site, inlet.connection, stands);
    }
    if (landed === undefined) {
      return [];
    }
    const { busType } = segmentOf(site, landed.bus);
    const run = { record: landed.bus, ...(busType === undefined ? {} : { busType }) };
    return landingCableFixes(site, run, landed.landing.index, stands);
  },
});

interface CircuitAt {
  readonly circuit: Circuit;
  readonly at: Place;
  /** The feed or bus; the inlet where it has a line of its own. */
  readonly subject: string;
  /** Whether what powers the circuit is not fed itself, which is reported there. */
  readonly lacksSupply: () => boolean;
}

/** Every circuit on which a device hangs, with the place where it hangs on it. */
function circuitsAt(site: Site, device: Device): readonly CircuitAt[] {
  const inlets = inletStatesOf(site, device).map(({ consumer, circuit }): CircuitAt => ({
    circuit,
    at: consumer.at,
    subject:
      consumer.connection.kind === 'landing' ? consumer.connection.feed.name : consumer.subject,
    lacksSupply: () => isBehindMissingSupply(site, consumer.connection),
  }));
  const ports = (site.busLandingsOfDevice.get(device.name) ?? []).flatMap(
    ({ run, landing }): readonly CircuitAt[] => {
      const circuit = circuitOfBus(site, run);
      const at = { declaration: run.name, part: `land/${landing.index}` };
      return circuit === undefined
        ? []
        : [
            {
              circuit,
              at,
              subject: run.name,
              lacksSupply: () => isPoweredByMissingSupply(site, run),
            },
          ];
    },
  );
  return [...inlets, ...ports];
}

function isSame(one: Place, other: Place): boolean {
  return one.declaration === other.declaration && one.part === other.part;
}
