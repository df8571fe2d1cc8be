import { stateAt } from '../analysis/power/circuit.js';
import { isBehindMissingSupply } from '../analysis/power/missing.js';
import { sizingOf } from '../analysis/power/sizing.js';
import { judgedTemperature } from '../analysis/power/temperature.js';
import { inletStatesOf, isBelow, voltageTurnsAtC } from '../analysis/power/voltages.js';
import { part, placeOf } from '../model/origin.js';
import { defineRule } from './rule.js';
import { measured } from './support/bus-wording.js';
import { supplyNeeds } from './support/needs.js';
import { poeUndervoltages, socketCableFixes } from './support/poe-problems.js';
import {
  amount,
  atTemperature,
  connectionPlaces,
  targetOf,
  turningText,
} from './support/power-wording.js';
import { cableAdvice, sizingFacts } from './support/sizing-wording.js';
import { connectionCableFixes, inletOfFinding } from './support/supply-fixes.js';
import { beyond } from './support/margin-wording.js';

/** An inlet that gets less voltage than it works with. */
export const inletUndervoltage = defineRule({
  name: 'inlet-undervoltage',
  severity: 'error',
  of: 'device',
  acceptable: true,
  needs: supplyNeeds,
  *check(site, device) {
    for (const { consumer, circuit, voltage, minimumV } of inletStatesOf(site, device)) {
      if (
        voltage === undefined ||
        minimumV === undefined ||
        !isBelow(voltage.voltageV, minimumV) ||
        isBehindMissingSupply(site, consumer.connection)
      ) {
        continue;
      }
      const { subject, connection, at } = consumer;
      const temperature = atTemperature(judgedTemperature(site));
      const turning = turningText(voltageTurnsAtC(site, circuit, voltage.node, minimumV));
      const inlet = consumer.resolved!.inlet;
      const { temperatureC } = judgedTemperature(site);
      const sizing = sizingOf(circuit, at, (changed) => {
        const state = stateAt(changed, temperatureC);
        return (
          state.kind === 'operating' && !isBelow(state.voltageV.get(voltage.node.id) ?? 0, minimumV)
        );
      });
      yield {
        subject,
        at: targetOf(at),
        what: `${subject} gets ${amount(voltage.voltageV, 'V', minimumV)} ${temperature}, less than the ${amount(minimumV, 'V')} that it works with${beyond(voltage.voltageV, minimumV)}.${turning}`,
        why: 'It resets when others start, or does not start at all.',
        remedy: cableAdvice(sizing, subject, 'feed the device from a nearer supply'),
        related: [
          {
            at: placeOf(device.equipment, part('inlet', inlet.name)),
            message: `Its tolerance of ${inlet.tolerancePercent} % is stated here.`,
          },
          ...connectionPlaces(connection),
        ],
        facts: [
          measured('voltage', voltage.voltageV, 'V'),
          measured('minimum-voltage', minimumV, 'V'),
          ...sizingFacts(sizing),
        ],
        waivable: { value: voltage.voltageV, unit: 'V', lowerIsWorse: true },
      };
    }
    yield* poeUndervoltages(site, device);
  },
  fixes(site, finding) {
    const inlet = inletOfFinding(site, finding);
    if (inlet === undefined) {
      return socketCableFixes(site, finding);
    }
    return connectionCableFixes(site, inlet.connection, (trial) => {
      const device = trial.devices.get(inlet.device.name);
      return (
        device !== undefined &&
        inletStatesOf(trial, device)
          .filter((state) => state.consumer.subject === finding.subject)
          .every(
            ({ voltage, minimumV }) =>
              voltage !== undefined &&
              (minimumV === undefined || !isBelow(voltage.voltageV, minimumV)),
          )
      );
    });
  },
});
