/** How rules about supplies name things, and the places that they point at. */
import { voltageText } from '../../analysis/power/texts.js';
import type { SupplyCandidate } from '../../analysis/power/candidates.js';
import type { InletConnection } from '../../analysis/power/consumers.js';
import type { Nominal } from '../../analysis/power/demand.js';
import type { JudgedTemperature } from '../../analysis/power/temperature.js';
import { USUAL_TEMPERATURES_C } from '../../analysis/power/temperature.js';
import type { Finding, RelatedPlace } from '../../model/finding.js';
import { part, placeOf } from '../../model/origin.js';
import type { Place } from '../../model/origin.js';
import type { InletLine } from '../../model/records.js';
import { formatNumber } from '../../model/quantity.js';
import type { PowerPoint, Site } from '../../model/site.js';
import type { Device } from '../../model/records.js';
import type { Feed, Landing } from '../../model/wiring.js';

/** What a finding points at in a landing or an inlet line: the landing's target, or the whole line. */
export function targetOf(at: Place): Place {
  return /^land\/\d+$/u.test(at.part) ? placeOf(at.declaration, `${at.part}/target`) : at;
}

/** A value to two decimals, or to as many as it takes to tell it from the limit it is compared with. */
export function amount(value: number, unit: string, limit?: number): string {
  for (let digits = 2; digits < 6; digits++) {
    const text = formatNumber(value, digits);
    if (limit === undefined || text !== formatNumber(limit, digits)) {
      return `${text} ${unit}`;
    }
  }
  return `${formatNumber(value, 6)} ${unit}`;
}

/** A longest length, rounded down to the decimetre, so that what is promised passes. */
export function metresDown(lengthM: number): string {
  return `${formatNumber(Math.floor(10 * lengthM + 1e-9) / 10, 1)} m`;
}

/** `24 VAC`, `three-phase 400 VAC`. */
export function nominalText(nominal: Nominal): string {
  const text = nominal.voltage === undefined ? 'no stated voltage' : voltageText(nominal.voltage);
  return nominal.threePhase ? `three-phase ${text}` : text;
}

/** The way or outlet as a related place. */
export function pointPlace(point: PowerPoint, message: string): RelatedPlace {
  return {
    at:
      point.kind === 'way'
        ? placeOf(point.board.name, part('way', point.way.name))
        : placeOf(point.device.name, 'name'),
    message,
  };
}

/** The run on which a finding sits, as a related place. */
export function runPlace(name: string): RelatedPlace {
  return { at: placeOf(name, 'name'), message: `It is on ${name}.` };
}

/** The feed of a connection as a related place; none for a line of its own. */
export function connectionPlaces(connection: InletConnection): readonly RelatedPlace[] {
  return connection.kind === 'landing' ? [runPlace(connection.feed.name)] : [];
}

/** `at 40 °C (assumed)`. */
export function atTemperature({ temperatureC, basis }: JudgedTemperature): string {
  return `at ${formatNumber(temperatureC, 1)} °C${basis === 'assumed' ? ' (assumed)' : ''}`;
}

/** What a verdict that hangs on the temperature says about it; empty where it does not. */
export function turningText(turnsAtC: number | undefined): string {
  return turnsAtC === undefined
    ? ''
    : ` The verdict turns at ${formatNumber(turnsAtC, 1)} °C, within the ${USUAL_TEMPERATURES_C.cold} to ${USUAL_TEMPERATURES_C.hot} °C of conductors in service.`;
}

/** Where an inlet could be fed from, as advice. */
export function supplyAdvice(candidates: readonly SupplyCandidate[], otherwise: string): string {
  const best = candidates[0];
  if (best === undefined) {
    return otherwise;
  }
  const spare = amount(best.spare, best.unit);
  return best.feed === undefined
    ? `Feed it from ${best.point.key}, which has ${spare} to spare.`
    : `Land it on ${best.feed.name} from ${best.point.key}, which has ${spare} to spare.`;
}

/** The landing of a feed at which a finding stands. */
export function feedLandingOf(
  site: Site,
  { at }: Pick<Finding, 'at'>,
): { readonly feed: Feed; readonly landing: Landing } | undefined {
  const feed = site.feeds.get(at.declaration);
  const landing = feed?.landings.find(
    (one) => at.part === part('land', one.index) || at.part === part('land', one.index, 'target'),
  );
  return feed && landing && { feed, landing };
}

/** The inlet line of a device at which a finding stands. */
export function inletLineOf(
  site: Site,
  { at }: Pick<Finding, 'at'>,
): { readonly device: Device; readonly line: InletLine } | undefined {
  const device = site.devices.get(at.declaration);
  const line = device?.inletLines.find((one) => at.part.startsWith(part('inlet', one.index)));
  return device && line && { device, line };
}
