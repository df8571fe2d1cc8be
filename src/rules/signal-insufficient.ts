import { isAbove } from '../analysis/bus/limits.js';
import { farSignalAt, signalOf } from '../analysis/bus/signal.js';
import { DRIVER_OUTPUT_V, RECEIVER_THRESHOLD_V } from '../analysis/electrical/signal.js';
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

/** A signal that arrives at the far end below what receivers need. */
export const signalInsufficient = defineRule({
  name: 'signal-insufficient',
  severity: 'error',
  of: 'bus',
  acceptable: true,
  *check(site, bus) {
    const signal = ledSegment(site, bus) === undefined ? undefined : signalOf(site, bus)?.farSignal;
    if (signal?.known !== true || !isAbove(RECEIVER_THRESHOLD_V, signal.value)) {
      return;
    }
    const { at, from, value } = signal;
    const turning = turningText((temperatureC) => {
      const there = farSignalAt(site, bus, temperatureC);
      return there.known && !isAbove(RECEIVER_THRESHOLD_V, there.value);
    });
    const sender = from === undefined ? 'the far end' : from.name;
    yield {
      subject: at.bus.name,
      at: landingPlace(at, 'target'),
      what: `Of the ${volts(DRIVER_OUTPUT_V)} that the weakest driver gives at ${sender}, ${volts(value)} arrive at ${at.name}, and receivers need ${volts(RECEIVER_THRESHOLD_V)}${beyond(value, RECEIVER_THRESHOLD_V)}.${turning}`,
      why: 'What arrives below that is lost.',
      remedy: 'Use a thicker cable, shorten the line, or divide it with a repeater.',
      related: [
        busPlace(at.bus),
        ...(from === undefined ? [] : [relatedLanding(from, 'The signal comes from here.')]),
      ],
      facts: [measured('far-signal', value, 'V')],
      waivable: { value, unit: 'V', lowerIsWorse: true },
    };
  },
});
