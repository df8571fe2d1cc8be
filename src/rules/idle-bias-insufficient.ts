import { isAbove } from '../analysis/bus/limits.js';
import { idleAt, signalOf } from '../analysis/bus/signal.js';
import { terminationOf } from '../analysis/bus/termination.js';
import { RECEIVER_THRESHOLD_V } from '../analysis/electrical/signal.js';
import { defineRule } from './rule.js';
import {
  busPlace,
  landingPlace,
  ledSegment,
  measured,
  relatedLanding,
  volts,
} from './support/bus-wording.js';
import { turningText } from './support/turning.js';
import { beyond } from './support/margin-wording.js';

/** An idle line somewhere below the voltage at which receivers know its state. */
export const idleBiasInsufficient = defineRule({
  name: 'idle-bias-insufficient',
  severity: 'error',
  of: 'bus',
  acceptable: true,
  *check(site, bus) {
    const segment = ledSegment(site, bus);
    const idle = signalOf(site, bus)?.idle;
    if (segment === undefined || idle === undefined || !idle.known) {
      return;
    }
    // A terminator too many pulls the idle voltage down: that is then the cause.
    if (terminationOf(site, bus).duplicate.length > 0) {
      return;
    }
    if (!isAbove(RECEIVER_THRESHOLD_V, idle.value)) {
      return;
    }
    const biased = segment.ports.filter(({ resolved }) => resolved.port.bias !== undefined);
    const turning = turningText((temperatureC) => {
      const there = idleAt(site, bus, temperatureC);
      return there.known && !isAbove(RECEIVER_THRESHOLD_V, there.value);
    });
    yield {
      subject: idle.at.bus.name,
      at: landingPlace(idle.at, 'target'),
      what: `While nobody talks ${idle.at.bus.name} has ${volts(idle.value)} at ${idle.at.name}, and receivers need ${volts(RECEIVER_THRESHOLD_V)} to know that it is idle${beyond(idle.value, RECEIVER_THRESHOLD_V)}.${turning}`,
      why: 'Below that a receiver takes noise for telegrams.',
      remedy:
        'Use a stronger bias (smaller resistors), bias nearer to this place, or fewer unit loads.',
      related: [
        busPlace(idle.at.bus),
        ...biased.map((port) => relatedLanding(port, `${port.name} biases the line.`)),
      ],
      facts: [measured('idle-voltage', idle.value, 'V')],
      waivable: { value: idle.value, unit: 'V', lowerIsWorse: true },
    };
  },
});
