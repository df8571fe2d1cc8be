/** What would do instead, said in remedies. */
import type { Sizing } from '../../analysis/power/sizing.js';
import type { Measured } from '../../model/finding.js';
import { crossSectionMm2, formatNumber, sizeText } from '../../model/quantity.js';
import { measured } from './bus-wording.js';
import { metresDown } from './power-wording.js';

/** Advice about the cable to a subject, with the figures that pass; `otherwise` is the other way out. */
export function cableAdvice(
  { smallest, longestM }: Sizing,
  subject: string,
  otherwise: string,
): string {
  const shorter =
    longestM === undefined || longestM < 0.1
      ? undefined
      : `the cable to ${subject} to ${metresDown(longestM)} or less`;
  if (smallest === undefined) {
    return shorter === undefined
      ? `Use larger cables on a shorter way, or ${otherwise}.`
      : `Shorten ${shorter}, or ${otherwise}: no larger conductor would do.`;
  }
  const larger = `Use a larger cable (${sizeText(smallest)} or more)`;
  return shorter === undefined
    ? `${larger}, or ${otherwise}.`
    : `${larger}, shorten ${shorter}, or ${otherwise}.`;
}

/** The same figures as facts of a finding. */
export function sizingFacts({ smallest, longestM }: Sizing): readonly Measured[] {
  return [
    ...(smallest === undefined
      ? []
      : [
          smallest.awg === undefined
            ? measured('smallest-conductor', smallest.mm2, 'mm2')
            : measured(
                'smallest-conductor',
                Number(formatNumber(crossSectionMm2(smallest), 4)),
                'mm2',
              ),
        ]),
    ...(longestM === undefined || longestM < 0.1
      ? []
      : [measured('longest-cable', Math.floor(10 * longestM + 1e-9) / 10, 'm')]),
  ];
}
