/** Names that a declaration uses, with where they stand and what they must be. */
import type { DeclarationKind } from '../model/records.js';

/** Parts of a declaration that have a name of their own. */
export type MemberKind =
  'port' | 'inlet' | 'outlet' | 'lan' | 'way' | 'room' | 'router' | 'part' | 'parameter';

export interface NameReference {
  /** Offsets in the piece. */
  readonly start: number;
  readonly end: number;
  readonly name: string;
  /** The declaration whose member it is; undefined for a name at column 0. */
  readonly owner?: string;
  /** What it may be: kinds of declarations, or kinds of members where `owner` is given. */
  readonly wants: readonly (DeclarationKind | MemberKind)[];
  /** The member that is named behind it, where there is one. */
  readonly then?: string;
  /** The assembly in which it stands: the names of its parts come before those of the site. */
  readonly scope?: string;
}
