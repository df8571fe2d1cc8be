/** The list of rules. A rule that is not listed here does not exist for any door. */
import type { Rule, SubjectKind } from './rule.js';

/** Rules about buses. */
const bus: readonly Rule<never>[] = [];

/** Rules about supplies, feeds, ways and isolation. */
const supply: readonly Rule<never>[] = [];

/** Rules about addresses and supervision. */
const supervision: readonly Rule<never>[] = [];

/** Rules about IP networks and web pages. */
const network: readonly Rule<never>[] = [];

/** Every rule, in the order in which findings of one line are shown. */
export const RULES: readonly Rule<SubjectKind>[] = [
  ...bus,
  ...supply,
  ...supervision,
  ...network,
] as readonly Rule<SubjectKind>[];
