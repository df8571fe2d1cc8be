/** The conductor temperature at which supplies are judged, and verdicts that hang on it. */
import type { Term } from '../../model/finding.js';
import type { Site } from '../../model/site.js';
import { faultTemperatureC } from '../electrical/protection.js';
import { memoisedOnce } from '../memo.js';
import { term } from '../working.js';

/** What is taken where the site states no conductor temperature. */
export const ASSUMED_TEMPERATURE_C = 40;

/** Conductors in service lie between these; a verdict that turns in between says so. */
export const USUAL_TEMPERATURES_C = { cold: 20, hot: 70 } as const;

/** A temperature and whether somebody stated it. */
export interface JudgedTemperature {
  readonly temperatureC: number;
  readonly basis: 'stated' | 'assumed';
}

/** The temperature for voltages: the stated one, else 40 °C. */
export const judgedTemperature: (site: Site) => JudgedTemperature = memoisedOnce((site) => {
  const stated = site.settings?.conductorTemperatureC;
  return stated === undefined || !Number.isFinite(stated)
    ? { temperatureC: ASSUMED_TEMPERATURE_C, basis: 'assumed' }
    : { temperatureC: stated, basis: 'stated' };
});

/** The voltage drop in percent that the site allows on a feed; undefined where it states none. */
export const voltageDropLimit: (site: Site) => number | undefined = memoisedOnce(
  (site) => site.settings?.voltageDropLimitPercent,
);

/** The temperature for fault currents: 70 °C, or the stated one where that is higher. */
export function judgedFaultTemperature(site: Site): JudgedTemperature {
  const { temperatureC, basis } = judgedTemperature(site);
  const faultC = faultTemperatureC(temperatureC);
  return { temperatureC: faultC, basis: faultC === temperatureC ? basis : 'assumed' };
}

/** The temperature as a term of a working. */
export function temperatureTerm({ temperatureC, basis }: JudgedTemperature): Term {
  return term('conductor temperature', temperatureC, 'C', basis);
}

/**
 * The temperature in °C, to a tenth, at which a verdict turns between 20 and 70 °C; undefined where
 * it does not turn.
 */
export function turningTemperatureC(holds: (temperatureC: number) => boolean): number | undefined {
  let { cold, hot } = USUAL_TEMPERATURES_C as { cold: number; hot: number };
  const coldHolds = holds(cold);
  if (coldHolds === holds(hot)) {
    return undefined;
  }
  while (hot - cold > 0.005) {
    const middle = (cold + hot) / 2;
    if (holds(middle) === coldHolds) {
      cold = middle;
    } else {
      hot = middle;
    }
  }
  return Math.round(10 * hot) / 10;
}
