/** Something wrong with the text of one declaration, found while reading it. Offsets count from the piece's start. */
export interface PieceProblem {
  readonly rule: string;
  readonly start: number;
  readonly end: number;
  readonly what: string;
  readonly why: string;
  readonly remedy: string;
  /** A text that mends it when put in its place. */
  readonly replacement?: { readonly title: string; readonly text: string };
}
