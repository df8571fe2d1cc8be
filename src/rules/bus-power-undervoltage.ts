import { poweredSegmentOf } from '../analysis/power/bus-load.js';
import { stateAt } from '../analysis/power/circuit.js';
import { isPoweredByMissingSupply } from '../analysis/power/missing.js';
import { sizingOf } from '../analysis/power/sizing.js';
import { judgedTemperature } from '../analysis/power/temperature.js';
import { isBelow, starvedOn, voltagesOfBus, voltageTurnsAtC } from '../analysis/power/voltages.js';
import { segmentOf } from '../analysis/bus/segment.js';
import { placeOf } from '../model/origin.js';
import { defineRule } from './rule.js';
import { landingOfFinding, measured, relatedLanding } from './support/bus-wording.js';
import { amount, atTemperature, targetOf, turningText } from './support/power-wording.js';
import { cableAdvice, sizingFacts } from './support/sizing-wording.js';
import { landingCableFixes } from './support/supply-fixes.js';
import { beyond } from './support/margin-wording.js';

/** A bus on which a device that lives on it gets less than the bus type's least voltage. */
export const busPowerUndervoltage = defineRule({
  name: 'bus-power-undervoltage',
  severity: 'error',
  of: 'bus',
  acceptable: true,
  *check(site, bus) {
    const powered = poweredSegmentOf(site, bus);
    if (powered?.segment.lead !== bus || powered.minimumV === undefined) {
      return;
    }
    const { minimumV } = powered;
    const low = starvedOn(site, bus);
    const [first] = low;
    if (first === undefined || isPoweredByMissingSupply(site, bus)) {
      return;
    }
    const worst = low.reduce((one, other) => (other.voltageV < one.voltageV ? other : one));
    const others =
      worst === first
        ? ''
        : `; the least is ${amount(worst.voltageV, 'V', minimumV)} at ${worst.subject}`;
    const turning = turningText(voltageTurnsAtC(site, worst.circuit, worst.node, minimumV));
    const takers = new Set(powered.takers.map(({ port }) => port.name));
    const nodes = worst.circuit.nodes.filter(({ members }) =>
      members.some(({ subject }) => takers.has(subject)),
    );
    const sizing = sizingOf(
      worst.circuit,
      worst.at,
      (changed) => {
        const state = stateAt(changed, judgedTemperature(site).temperatureC);
        return (
          state.kind === 'operating' &&
          nodes.every(({ id }) => !isBelow(state.voltageV.get(id) ?? 0, minimumV))
        );
      },
      powered.segment.busType?.cable?.to,
    );
    yield {
      subject: bus.name,
      at: targetOf(first.at),
      what: `${first.subject} gets ${amount(first.voltageV, 'V', minimumV)} from the bus ${atTemperature(judgedTemperature(site))}, less than the ${amount(minimumV, 'V')} of its type${beyond(first.voltageV, minimumV)}${others}.${turning}`,
      why: 'Devices at the far end reset, or never start.',
      remedy: cableAdvice(sizing, worst.subject, 'put the source in the middle or split the bus'),
      related: [
        {
          at: placeOf(powered.segment.lead.busType, 'power'),
          message: `The bus type asks for ${amount(minimumV, 'V')} at least.`,
        },
        ...powered.givers.map(({ port }) => relatedLanding(port, `${port.name} powers the bus.`)),
      ],
      facts: [
        measured('voltage', worst.voltageV, 'V'),
        measured('minimum-voltage', minimumV, 'V'),
        ...sizingFacts(sizing),
      ],
      waivable: { value: worst.voltageV, unit: 'V', lowerIsWorse: true },
    };
  },
  fixes(site, finding) {
    const landed = landingOfFinding(site, finding);
    if (landed === undefined) {
      return [];
    }
    const { busType } = segmentOf(site, landed.bus);
    const run = { record: landed.bus, ...(busType === undefined ? {} : { busType }) };
    return landingCableFixes(site, run, landed.landing.index, (trial) => {
      const bus = trial.buses.get(finding.subject);
      const powered = bus && poweredSegmentOf(trial, bus);
      return (
        bus !== undefined &&
        powered?.minimumV !== undefined &&
        voltagesOfBus(trial, bus).length > 0 &&
        starvedOn(trial, bus).length === 0
      );
    });
  },
});
