import { isAbove } from '../analysis/bus/limits.js';
import { isBehindMissingSupply } from '../analysis/power/missing.js';
import {
  judgedTemperature,
  turningTemperatureC,
  voltageDropLimit,
} from '../analysis/power/temperature.js';
import { stateAt } from '../analysis/power/circuit.js';
import { inletStatesOf, isBelow, voltagesOfFeed } from '../analysis/power/voltages.js';
import type { MemberVoltage } from '../analysis/power/voltages.js';
import { placeOf } from '../model/origin.js';
import type { Site } from '../model/site.js';
import type { Feed } from '../model/wiring.js';
import { defineRule } from './rule.js';
import { measured } from './support/bus-wording.js';
import { amount, atTemperature, runPlace, targetOf, turningText } from './support/power-wording.js';
import { runCableFixes } from './support/supply-fixes.js';

/** A feed that loses more voltage than the site allows. */
export const voltageDropExcessive = defineRule({
  name: 'voltage-drop-excessive',
  severity: 'warning',
  of: 'feed',
  acceptable: true,
  *check(site, feed) {
    const limit = voltageDropLimit(site);
    if (limit === undefined) {
      return;
    }
    const voltages = voltagesOfFeed(site, feed);
    const first = voltages.find((one) => isAbove(one.dropPercent, limit));
    // An inlet below its own minimum says the same more sharply.
    if (
      first === undefined ||
      hasUndervoltage(site, feed) ||
      isBehindMissingSupply(site, { kind: 'landing', feed, landing: feed.landings[0]! })
    ) {
      return;
    }
    const worst = voltages.reduce((one, other) =>
      other.dropPercent > one.dropPercent ? other : one,
    );
    const turning = turningText(dropTurnsAtC(worst, limit));
    yield {
      subject: feed.name,
      at: targetOf(first.at),
      what: `${feed.name} loses ${amount(worst.dropPercent, '%', limit)} of its voltage up to ${worst.subject} ${atTemperature(judgedTemperature(site))}, more than the ${amount(limit, '%')} that the site allows.${turning}`,
      why: 'Little is left for a supply that sags, for a longer cable than planned and for one more device.',
      remedy: 'Use a larger cable, shorten it, or feed the far devices from a nearer supply.',
      related: [
        { at: placeOf(site.settings!.name, 'limit'), message: 'The site states its limit here.' },
        runPlace(feed.name),
      ],
      facts: [measured('voltage-drop', worst.dropPercent, '%')],
      waivable: { value: worst.dropPercent, unit: '%' },
    };
  },
  fixes(site, finding) {
    const record = site.feeds.get(finding.subject);
    const limit = voltageDropLimit(site);
    if (record === undefined || limit === undefined) {
      return [];
    }
    return runCableFixes(site, { record }, (trial) => {
      const voltages = voltagesOfFeed(trial, trial.feeds.get(record.name)!);
      return voltages.length > 0 && !voltages.some((one) => isAbove(one.dropPercent, limit));
    });
  },
});

function hasUndervoltage(site: Site, feed: Feed): boolean {
  return feed.landings.some((landing) => {
    const device = site.devices.get(landing.device);
    return (
      device !== undefined &&
      inletStatesOf(site, device).some(
        ({ consumer, voltage, minimumV }) =>
          consumer.at.declaration === feed.name &&
          voltage !== undefined &&
          minimumV !== undefined &&
          isBelow(voltage.voltageV, minimumV),
      )
    );
  });
}

function dropTurnsAtC({ circuit, node }: MemberVoltage, limitPercent: number): number | undefined {
  return turningTemperatureC((temperatureC) => {
    const state = stateAt(circuit, temperatureC);
    const voltageV = state.kind === 'operating' ? state.voltageV.get(node.id) : undefined;
    const dropV = circuit.nominalV - (voltageV ?? 0);
    return !isAbove((100 * dropV) / circuit.nominalV, limitPercent);
  });
}
