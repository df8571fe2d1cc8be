/**
 * What of a site's text could not be read. One slip of the pen shall give one finding: what follows
 * from it is left unsaid until the slip is mended.
 */
import type { DeclarationId, PartPath } from './origin.js';
import type { DeclarationKind } from './records.js';

export interface Damage {
  /** Parts of declarations that are misspelt or name something unknown; '' is the whole of one. */
  readonly hurt: ReadonlyMap<DeclarationId, readonly PartPath[]>;
  /** Declarations that are missing from the model. */
  readonly lost: readonly LostDeclaration[];
}

/** A declaration that nobody could read, or that something names and nothing declares. */
export interface LostDeclaration {
  /** What it may be; empty where it may be anything. */
  readonly kinds: readonly DeclarationKind[];
  /** The words in it; missing where its text is not known. */
  readonly mentions?: ReadonlySet<string>;
}

/** A site that was read whole. */
export const NO_DAMAGE: Damage = { hurt: new Map(), lost: [] };
