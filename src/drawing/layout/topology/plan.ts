/** The finished topology layout: everything that is drawn, with its position in px. */
import type { Mark, SceneRole, SceneSeen, SceneSeverity, SceneTitle } from '../../scene/scene.js';
import type { Point, Rect } from '../geometry.js';
import type { PlannedBadge, PlannedFinding, PlannedText } from '../planned.js';
import type { PlannedLegendItem } from '../sheet.js';
import type { GridMemory } from './grid.js';
import type { WireLayer } from './wiring.js';

export interface PlannedBand {
  readonly rect: Rect;
  readonly index: number;
  readonly texts: readonly PlannedText[];
  readonly levelMark: Point | undefined;
  readonly mark: Mark | undefined;
}

export interface PlannedFrame {
  readonly rect: Rect;
  readonly title: PlannedText | undefined;
  readonly mark: Mark;
}

export interface PlannedBox {
  readonly id: string;
  readonly kind: 'device' | 'board';
  readonly style: 'field' | 'satellite' | 'strip';
  readonly rect: Rect;
  readonly role: SceneRole | 'board';
  readonly icon: Point;
  readonly existing: boolean;
  readonly texts: readonly PlannedText[];
  /** What was seen of it on site, and where the mark that says so stands. */
  readonly seen?: { readonly state: SceneSeen; readonly centre: Point };
  /** Lines inside the box, between its header and its rows. */
  readonly rules: readonly (readonly [Point, Point])[];
  readonly mark: Mark;
  /** For tooltip and screen readers. */
  readonly description: string;
  readonly band: number;
  /** Name of the run beside whose members it stands. */
  readonly chain: string | undefined;
  /** Title of its area. */
  readonly area: string | undefined;
}

/** The bar on the edge of a box where a run is landed. */
export interface PlannedBar {
  readonly from: Point;
  readonly to: Point;
  readonly runId: string;
}

export interface PlannedWire {
  readonly id: string;
  readonly layer: WireLayer;
  readonly runId: string;
  readonly lines: readonly (readonly Point[])[];
  readonly dots: readonly Point[];
  readonly existing: boolean;
  readonly spur: boolean;
  readonly flagged: boolean;
  readonly mark: Mark;
  readonly description: string;
}

export interface PlannedLabel {
  readonly wireId: string;
  readonly runId: string;
  readonly rect: Rect;
  readonly pill:
    { readonly rect: Rect; readonly text: PlannedText; readonly mark: Mark } | undefined;
  readonly text: PlannedText | undefined;
  /** Numbers of the findings whose marks stand on this label. */
  readonly findings: readonly number[];
}

export type SymbolKind = 'terminator-fitted' | 'terminator-missing' | 'bond';

/** A symbol at the free end of a landing; it points away from its box. */
export interface PlannedSymbol {
  readonly kind: SymbolKind;
  readonly runId: string;
  readonly landingId: string;
  /** Where it leaves the box. */
  readonly at: Point;
  readonly direction: 'down' | 'up' | 'left' | 'right';
  readonly rect: Rect;
  readonly mark: Mark;
  readonly description: string;
}

/** How a run is told from the others. */
export interface RunStyle {
  readonly colour: number;
  readonly dash: number;
}

export type LegendKey =
  | 'bus'
  | 'local'
  | 'feed'
  | 'branch'
  | 'ip'
  | 'fitted'
  | 'missing'
  | 'bonded'
  | 'estimated'
  | 'flag'
  | `seen-${SceneSeen}`
  | SceneSeverity;

export interface TopologyPlan {
  readonly view: 'topology';
  readonly widthPx: number;
  readonly heightPx: number;
  readonly sheet: SceneTitle;
  readonly header: readonly PlannedText[];
  readonly bands: readonly PlannedBand[];
  readonly frames: readonly PlannedFrame[];
  readonly boxes: readonly PlannedBox[];
  readonly bars: readonly PlannedBar[];
  readonly wires: readonly PlannedWire[];
  readonly labels: readonly PlannedLabel[];
  readonly symbols: readonly PlannedSymbol[];
  readonly badges: readonly PlannedBadge[];
  readonly legend: readonly PlannedLegendItem<LegendKey>[];
  readonly findings: readonly PlannedFinding[];
  readonly footerTexts: readonly PlannedText[];
  readonly runStyles: ReadonlyMap<string, RunStyle>;
  /** To be handed to the next layout of the same site. */
  readonly memory: GridMemory;
}
