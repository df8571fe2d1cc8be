/** The finding that a way or outlet carries more than it may. */
import { isAbove } from '../../analysis/bus/limits.js';
import { supplyCandidates } from '../../analysis/power/candidates.js';
import { loadOf } from '../../analysis/power/loads.js';
import type { LoadPart, LoadSum } from '../../analysis/power/loads.js';
import { ratingOf } from '../../analysis/power/point-rating.js';
import { nextSupplyVA } from '../../analysis/power/sizing.js';
import type { Finding, Fix } from '../../model/finding.js';
import { placeOf } from '../../model/origin.js';
import { resolvePowerPoint } from '../../model/site.js';
import type { PowerPoint, Site } from '../../model/site.js';
import type { Problem } from '../rule.js';
import { measured } from './bus-wording.js';
import { amount, pointPlace, runPlace, supplyAdvice, targetOf } from './power-wording.js';
import { inletOfFinding, moveFixes } from './supply-fixes.js';
import { beyond } from './margin-wording.js';

/** Sits on the consumer with which the sum, in the order of the text, went over the rating. */
export function loadProblem(
  site: Site,
  point: PowerPoint,
  load: LoadSum,
  rating: number,
  texts: { readonly why: string; readonly otherwise: string },
): Problem {
  const straw = lastStraw(load, rating);
  const at = straw === undefined ? placeOf(ownerOf(point), 'name') : targetOf(straw.at);
  const inlet = inletOfFinding(site, { at });
  const least = load.gaps.length > 0 ? 'at least ' : '';
  const nextVA = nextSupplyVA(point, load.amount);
  const larger =
    nextVA === undefined
      ? ''
      : ` The next usual size of supply for this load is ${amount(nextVA, 'VA')}.`;
  const phase = point.kind === 'way' && point.way.threePhase ? ' a phase' : '';
  return {
    subject: point.key,
    at,
    what: `${point.key} has to carry ${least}${amount(load.amount, load.unit, rating)}${phase}, more than its ${amount(rating, load.unit)}${beyond(load.amount, rating)}${straw === undefined ? '' : `: ${straw.subject} adds ${amount(straw.amount, load.unit)}`}.`,
    why: texts.why,
    remedy: `${
      inlet === undefined
        ? texts.otherwise
        : supplyAdvice(supplyCandidates(site, inlet.device, inlet.inlet, 1), texts.otherwise)
    }${larger}`,
    related: [
      pointPlace(point, `${point.key} is rated ${amount(rating, load.unit)}.`),
      ...(site.feeds.has(at.declaration) ? [runPlace(at.declaration)] : []),
    ],
    facts: [
      measured('load', load.amount, load.unit),
      measured('rating', rating, load.unit),
      ...(nextVA === undefined ? [] : [measured('next-supply', nextVA, 'VA')]),
    ],
    waivable: { value: load.amount, unit: load.unit },
  };
}

/** Other sources for the consumer that is one too many, where the rest is within the rating without it. */
export function strawFixes(
  site: Site,
  finding: Finding,
  moved: NonNullable<ReturnType<typeof inletOfFinding>>,
): readonly Fix[] {
  const dot = finding.subject.lastIndexOf('.');
  const point = resolvePowerPoint(site, {
    owner: finding.subject.slice(0, dot),
    member: finding.subject.slice(dot + 1),
  });
  const rating = point && ratingOf(point);
  const load = point && loadOf(site, point);
  const straw = load === undefined || rating === undefined ? undefined : lastStraw(load, rating);
  const isEnough =
    load !== undefined &&
    rating !== undefined &&
    straw !== undefined &&
    !isAbove(load.amount - straw.amount, rating);
  return isEnough ? moveFixes(site, moved) : [];
}

function lastStraw(load: LoadSum, rating: number): LoadPart | undefined {
  let sum = 0;
  return load.parts.find((part) => {
    sum += part.amount;
    return isAbove(sum, rating);
  });
}

function ownerOf(point: PowerPoint): string {
  return point.kind === 'way' ? point.board.name : point.device.name;
}
