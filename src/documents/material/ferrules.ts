/** Ferrules by size: which sleeve fits a conductor and which colour it has. */
import { crossSectionMm2 } from '../../model/quantity.js';
import type { ConductorSize } from '../../model/quantity.js';

export interface Ferrule {
  readonly sizeMm2: number;
  readonly colour: string;
}

/** Where the colours come from. */
export const FERRULE_SOURCE = 'DIN 46228-4, from memory (to be verified in the standard)';

const FERRULES: readonly Ferrule[] = [
  { sizeMm2: 0.25, colour: 'light blue' },
  { sizeMm2: 0.34, colour: 'turquoise' },
  { sizeMm2: 0.5, colour: 'white' },
  { sizeMm2: 0.75, colour: 'grey' },
  { sizeMm2: 1, colour: 'red' },
  { sizeMm2: 1.5, colour: 'black' },
  { sizeMm2: 2.5, colour: 'blue' },
  { sizeMm2: 4, colour: 'grey' },
  { sizeMm2: 6, colour: 'yellow' },
  { sizeMm2: 10, colour: 'red' },
  { sizeMm2: 16, colour: 'blue' },
  { sizeMm2: 25, colour: 'yellow' },
  { sizeMm2: 35, colour: 'red' },
  { sizeMm2: 50, colour: 'blue' },
];

/**
 * The smallest ferrule that takes a conductor. A gauge takes the size that is nearest from above,
 * where up to 5 % more conductor than the nominal size still counts as that size.
 */
export function ferruleFor(size: ConductorSize): Ferrule | undefined {
  const areaMm2 = crossSectionMm2(size);
  return FERRULES.find((ferrule) => areaMm2 <= ferrule.sizeMm2 * 1.05);
}
