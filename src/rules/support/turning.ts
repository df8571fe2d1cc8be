/** A verdict that hangs on the conductor temperature says so. */
import { turningTemperatureC } from '../../analysis/power/temperature.js';
import { formatNumber } from '../../model/quantity.js';

/**
 * A sentence with a blank before it where a verdict turns between 20 and 70 °C; else nothing.
 * `holds` gives the verdict at a conductor temperature in °C.
 */
export function turningText(holds: (temperatureC: number) => boolean): string {
  const turningC = turningTemperatureC(holds);
  return turningC === undefined
    ? ''
    : ` It hangs on the conductor temperature: the verdict turns at ${formatNumber(turningC, 1)} °C.`;
}
