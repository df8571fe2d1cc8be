/** The bound of a waiver, as a line writes it. */
import type { Waivable } from '../../model/finding.js';

/** Rounded to the side that still covers the value, so that the waiver is not exceeded at once. */
export function boundText({ value, unit, lowerIsWorse }: Waivable): string {
  const scaled = value * 1000;
  const nearest = Math.round(scaled);
  const whole =
    Math.abs(scaled - nearest) < 1e-6
      ? nearest
      : lowerIsWorse
        ? Math.floor(scaled)
        : Math.ceil(scaled);
  const covers = lowerIsWorse ? whole / 1000 <= value : whole / 1000 >= value;
  const bound = (covers ? whole : lowerIsWorse ? whole - 1 : whole + 1) / 1000;
  return `${bound} ${unit}`.trim();
}
