import { isAbove } from '../analysis/bus/limits.js';
import { isBehindMissingSupply } from '../analysis/power/missing.js';
import {
  judgedTemperature,
  turningTemperatureC,
  voltageDropLimit,
} from '../analysis/power/temperature.js';
import { stateAt } from '../analysis/power/circuit.js';
import type { Circuit, CircuitState } from '../analysis/power/circuit.js';
import { sizingOf } from '../analysis/power/sizing.js';
import { inletStatesOf, isBelow, voltagesOfFeed } from '../analysis/power/voltages.js';
import type { MemberVoltage } from '../analysis/power/voltages.js';
import { placeOf } from '../model/origin.js';
import type { Site } from '../model/site.js';
import type { Feed } from '../model/wiring.js';
import { defineRule } from './rule.js';
import { measured } from './support/bus-wording.js';
import { amount, atTemperature, runPlace, targetOf, turningText } from './support/power-wording.js';
import { cableAdvice, sizingFacts } from './support/sizing-wording.js';
import { runCableFixes } from './support/supply-fixes.js';
import { beyond } from './support/margin-wording.js';

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
    const nodes = voltages.map(({ node }) => node.id);
    const { circuit } = worst;
    const sizing = sizingOf(circuit, worst.at, (changed) => {
      const state = stateAt(changed, judgedTemperature(site).temperatureC);
      return nodes.every((id) => isWithin(circuit, state, id, limit));
    });
    yield {
      subject: feed.name,
      at: targetOf(first.at),
      what: `${feed.name} loses ${amount(worst.dropPercent, '%', limit)} of its voltage up to ${worst.subject} ${atTemperature(judgedTemperature(site))}, more than the ${amount(limit, '%')} that the site allows${beyond(worst.dropPercent, limit)}.${turning}`,
      why: 'Little is left for a supply that sags, for a longer cable than planned and for one more device.',
      remedy: cableAdvice(sizing, worst.subject, 'feed the far devices from a nearer supply'),
      related: [
        { at: placeOf(site.settings!.name, 'limit'), message: 'The site states its limit here.' },
        runPlace(feed.name),
      ],
      facts: [measured('voltage-drop', worst.dropPercent, '%'), ...sizingFacts(sizing)],
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
  return turningTemperatureC((temperatureC) =>
    isWithin(circuit, stateAt(circuit, temperatureC), node.id, limitPercent),
  );
}

function isWithin(
  { nominalV }: Circuit,
  state: CircuitState,
  node: string,
  limitPercent: number,
): boolean {
  const voltageV = state.kind === 'operating' ? state.voltageV.get(node) : undefined;
  return !isAbove((100 * (nominalV - (voltageV ?? 0))) / nominalV, limitPercent);
}
