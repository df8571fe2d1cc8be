/** How far a value lies beyond its limit, in the words of a finding. */
import { formatNumber } from '../../model/quantity.js';

/** ` (4 % over)`, ` (0.67 % under)`; nothing where the limit is zero, of which there is no share. */
export function beyond(value: number, limit: number): string {
  if (limit === 0) {
    return '';
  }
  const percent = (100 * Math.abs(value - limit)) / Math.abs(limit);
  const side = value > limit ? 'over' : 'under';
  return ` (${formatNumber(percent, digitsFor(percent))} % ${side})`;
}

/** Two figures that count, and no more decimals than a reader compares. */
function digitsFor(percent: number): number {
  return percent >= 10 ? 0 : percent >= 1 ? 1 : Math.min(6, 1 - Math.floor(Math.log10(percent)));
}
