/** Changes of a site that nobody has to make, as an editor offers them. */
import type { TextChange } from '../../../language/write.js';

export interface Refactor {
  /** Says the effect: metres, how many switches, how many files. */
  readonly title: string;
  readonly kind: 'move' | 'rewrite' | 'extract';
  readonly changes: readonly TextChange[];
  readonly newFiles: readonly { readonly path: string; readonly text: string }[];
}
