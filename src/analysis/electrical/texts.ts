/** The sentences for people that the electrical computations give: one catalogue for this folder. */
import { formatNumber } from '../../model/quantity.js';

export const electricalTexts = {
  sizeNotInTable: (mm2: number, conductorClass: number, sizesMm2: readonly number[]): string =>
    `${plain(mm2)} mm2 is not a size of IEC 60228 class ${conductorClass}, and the table is never interpolated; its sizes here are ${sizesMm2.map(plain).join(', ')} mm2.`,
  classNotInTable: (conductorClass: number): string =>
    `Class ${conductorClass} is not one of the IEC 60228 classes kept here (1 solid, 2 stranded, 5 flexible).`,
  gaugeNotKnown: (gauge: number): string =>
    `${plain(gauge)} is no AWG gauge: whole numbers from −3 (4/0) to 40 are.`,
  lengthNotKnown: 'The length is not a number of metres from 0.',
  temperatureNotKnown: 'The conductor temperature must lie between −50 and 250 °C.',
  classAssumed: 'The conductor class is not stated: class 5 (flexible, the worse case) is assumed.',
  solidGauge:
    'A gauge is taken as a solid wire; a stranded one of the same gauge has up to 3 % more resistance.',
  twoWays: 'The loop is both conductors, out and back.',
  noLoopResistance: 'The fault loop has no resistance, so its current has no bound.',
  noDirectCurve: (curve: string): string =>
    `Curve ${curve} has no trip band for direct current in the standards used here.`,
  ratingNotInTable: (ratedA: number): string =>
    `${plain(ratedA)} A is not a gG rating whose gates are kept here.`,
  ratingNotPositive: 'The rated current must be more than 0 A.',
  fuseTime:
    'For a gG fuse the certain current is the one that melts it within 5 s, not at once as with a breaker.',
  curveFactorDirect:
    'The magnetic trip acts on the peak of an alternating current: 1.5 times the alternating figure is taken for direct current.',
  hotConductor: 'The fault current is taken with hot conductors, which is when it is smallest.',
  nothingAcrossPair: 'Nothing closes the pair: no resistor is across it, so a meter reads open.',
  lineNotSolvable:
    'The sections do not join all points of the line, or a value in it is out of range.',
  pointUnknown: (point: string): string => `The line has no point named ${point}.`,
  noBias: 'No bias is on the line, so the idle voltage is not defined.',
} as const;

/** A number as a person writes it, without trailing zeros. */
function plain(value: number): string {
  return Number.isInteger(value) ? String(value) : String(Number(formatNumber(value, 4)));
}
