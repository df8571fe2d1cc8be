/** A value along a run, as numbers: what a plot shows, on a drawing and in a document. */
export interface PlotScene {
  readonly title: string;
  readonly across: { readonly title: string; readonly unit: string };
  readonly up: { readonly title: string; readonly unit: string };
  /** The lines from point to point, in their order along the run. */
  readonly lines: readonly (readonly PlotPoint[])[];
  /** What the value must not fall below, as a line across. */
  readonly least: number | undefined;
  readonly leastTitle: string;
}

export interface PlotPoint {
  readonly across: number;
  readonly up: number;
  readonly name: string;
}
