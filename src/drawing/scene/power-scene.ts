/** What the power view shows: ways, supplies, feeds and inlets as a tree, as plain data. */
import type { PlotScene } from './plot.js';
import type { Mark, SceneFinding, SceneTitle } from './scene.js';

export interface PowerScene {
  readonly view: 'power';
  readonly sheet: SceneTitle;
  /** Incomers, stored sources, and what nothing feeds. */
  readonly roots: readonly PowerNode[];
  /** The voltage along each feed and powered bus. */
  readonly profiles: readonly PlotScene[];
  /** Each stands at a node or tap: `at.id` is the id of one of them. */
  readonly findings: readonly SceneFinding[];
}

export type PowerNodeKind = 'board' | 'way' | 'supply' | 'feed' | 'bus' | 'unfed';

export interface PowerNode {
  readonly id: string;
  readonly kind: PowerNodeKind;
  readonly tag: string;
  readonly title: string;
  readonly existing: boolean;
  /** Undefined for what has no load of its own: a board with an incomer. */
  readonly load: PowerLoad | undefined;
  /** What reaches the inlet of a supply. */
  readonly supplied: PowerTap | undefined;
  readonly mark: Mark;
  readonly children: readonly PowerNode[];
  /** Inlets and ports that pass nothing on. */
  readonly taps: readonly PowerTap[];
}

export interface PowerLoad {
  /** Null where a figure is missing. */
  readonly value: number | null;
  readonly unit: string;
  /** Undefined where no rating is stated. */
  readonly rating: number | undefined;
}

/** An inlet, or a port that lives on its bus. */
export interface PowerTap {
  readonly id: string;
  /** `FC-1-03.supply`. */
  readonly name: string;
  /** A port on a small bus that the inlet above it powers. */
  readonly behind: boolean;
  readonly load: { readonly value: number; readonly unit: string } | undefined;
  readonly voltage: { readonly value: number | null; readonly leastV: number | undefined };
  readonly existing: boolean;
  readonly mark: Mark;
}
