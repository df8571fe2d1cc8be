/** Buses and feeds: what is landed where, in the order of the text. */

/** A dotted name such as `OU-1.field`; usually two steps, more once assemblies are expanded. */
export type PathName = readonly string[];

/** One landing of a bus or feed. */
export interface Landing {
  /** Counts the run's landings in text order from 0, those in spurs included; the key of its origin (`land/3`). */
  readonly index: number;
  /** All but the last step of the path, joined by dots: the device's name. */
  readonly device: string;
  /** The last step: a port (bus) or inlet (feed). */
  readonly member: string;
  /** The landing whose terminal the cable comes from; undefined for a bus's first landing and for one that comes from a feed's outlet. */
  readonly from?: number;
  /** Length of that cable where stated. For the first landing of a spur it is the spur's length. */
  readonly lengthM?: number;
  /** A length parameter of an assembly. */
  readonly lengthParameter?: string;
  /** The spur it stands in, counting from 0 in text order; undefined on the main line. */
  readonly spur?: number;
  /** True where it is the first landing of its spur. */
  readonly opensSpur: boolean;
  readonly terminated: boolean;
  readonly bonded: boolean;
  readonly covered: boolean;
  readonly existing: boolean;
  /** Another cable on the segment that leads here. */
  readonly cable?: string;
  /** Cores as landed on the terminals, where not in the cable's order. */
  readonly cores?: readonly string[];
}

/** A bus: an ordered run over ports. */
export interface Bus {
  readonly kind: 'bus';
  readonly name: string;
  readonly title?: string;
  readonly doc?: string;
  readonly busType: string;
  readonly cable?: string;
  readonly existing: boolean;
  readonly landings: readonly Landing[];
  /** A ring's closing cable back to the first landing. */
  readonly ring?: { readonly lengthM?: number };
}

/** A feed: a run from an outlet (or two) over inlets. */
export interface Feed {
  readonly kind: 'feed';
  readonly name: string;
  readonly title?: string;
  readonly doc?: string;
  /** Outlets or ways as written: device or board, then member. */
  readonly from: { readonly owner: string; readonly member: string };
  readonly and?: { readonly owner: string; readonly member: string };
  readonly cable?: string;
  readonly existing: boolean;
  readonly landings: readonly Landing[];
  /** Cable from the last landing to the second outlet. */
  readonly lastM?: number;
}
