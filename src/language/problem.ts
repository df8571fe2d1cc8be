/** Something wrong with the text of one declaration, found while reading it. Offsets count from the piece's start. */
export interface PieceProblem {
  readonly rule: string;
  readonly start: number;
  readonly end: number;
  readonly what: string;
  readonly why: string;
  readonly remedy: string;
  /** True where all of the text was read in spite of it, so that nothing follows from it. */
  readonly understood?: true;
  /** True where it may follow from a slip above it in the same declaration, and is left unsaid there. */
  readonly ifWhole?: true;
  /** A text that mends it when put in its place, or in another one; an empty one takes that away. */
  readonly replacement?: {
    readonly title: string;
    readonly text: string;
    readonly at?: { readonly start: number; readonly end: number };
  };
}
