/** The facts of a cable type: how much of it is to be laid, and how many reels that takes. */
import type { Cable } from '../../model/equipment.js';
import type { Fact, Term } from '../../model/finding.js';
import type { Site } from '../../model/site.js';
import { memoisedOnce } from '../memo.js';
import { term } from '../working.js';
import { cablesOfSite } from './cables.js';
import type { SiteCable } from './cables.js';
import { cutFromReels, cutLengthM } from './cutting.js';

/**
 * `length` in metres and `reels` of a cable type; what was there before the work is not counted.
 * None for a type of which nothing is to be laid, so that a package's templates add no noise.
 */
export function factsOfCable(site: Site, cable: Cable): readonly Fact[] {
  const pieces = newPieces(site).get(cable.name);
  if (pieces === undefined) {
    return [];
  }
  const unmeasured = pieces.find((piece) => piece.lengthM === null);
  const terms = pieces.map(termOfPiece);
  if (unmeasured !== undefined) {
    const needs = `a length in metres on the line of ${unmeasured.id}`;
    return [
      { ...lengthFact(cable), value: null, basis: 'unknown', needs, terms },
      { ...reelsFact(cable), value: null, basis: 'unknown', needs, terms: [] },
    ];
  }
  const lengthsM = pieces.map((piece) => piece.lengthM ?? 0);
  const isEstimated = pieces.some((piece) => piece.lengthBasis === 'estimated');
  const length: Fact = {
    ...lengthFact(cable),
    value: Number(lengthsM.reduce((total, lengthM) => total + lengthM, 0).toFixed(6)),
    basis: isEstimated ? 'estimated' : 'computed',
    terms,
  };
  const { reelM } = cable;
  if (reelM === undefined || reelM <= 0) {
    const needs = `reel 100 m in cable ${cable.name}`;
    return [length, { ...reelsFact(cable), value: null, basis: 'unknown', needs, terms: [] }];
  }
  const cuts = pieces.map((piece) => ({
    id: piece.id,
    cutM: cutLengthM(piece.lengthM ?? 0, reelM),
  }));
  const plan = cutFromReels(cuts, reelM);
  return [
    length,
    {
      ...reelsFact(cable),
      value: plan.reels.length,
      basis: length.basis,
      terms: [
        term('reel', reelM, 'm'),
        ...cuts.map((cut) => term(`cut ${cut.id}`, cut.cutM, 'm', 'computed')),
        ...plan.tooLong.map((cut) =>
          term(`${cut.id}, longer than a reel`, cut.cutM, 'm', 'computed'),
        ),
      ],
    },
  ];
}

function lengthFact(cable: Cable) {
  return {
    subject: cable.name,
    fact: 'length',
    unit: 'm',
    source: 'common practice: the sum of the runs, as stated or estimated',
  } as const;
}

function reelsFact(cable: Cable) {
  return {
    subject: cable.name,
    fact: 'reels',
    unit: '',
    source: 'common practice: runs cut longest first, none joined, with an allowance at the ends',
  } as const;
}

function termOfPiece(piece: SiteCable): Term {
  return term(piece.id, piece.lengthM ?? 'unknown', 'm', piece.lengthBasis);
}

const newPieces = memoisedOnce((site): ReadonlyMap<string, readonly SiteCable[]> => {
  const pieces = new Map<string, SiteCable[]>();
  for (const piece of cablesOfSite(site)) {
    if (piece.existing || piece.cableName === undefined) {
      continue;
    }
    const list = pieces.get(piece.cableName);
    if (list === undefined) {
      pieces.set(piece.cableName, [piece]);
    } else {
      list.push(piece);
    }
  }
  return pieces;
});
