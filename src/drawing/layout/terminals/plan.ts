/** The finished terminals layout: strips, cores and what belongs to them, with positions in px. */
import type { Mark, SceneCoreKind, SceneTerminalKind, SceneTitle } from '../../scene/scene.js';
import type { Point, Rect } from '../geometry.js';
import type { PlannedBadge, PlannedFinding, PlannedText } from '../planned.js';
import type { PlannedLegendItem } from '../sheet.js';

export interface PlannedStrip {
  readonly id: string;
  readonly rect: Rect;
  readonly headerBottom: number;
  readonly existing: boolean;
  readonly texts: readonly PlannedText[];
  readonly mark: Mark;
  readonly description: string;
}

export interface PlannedTerminal {
  readonly stripId: string;
  readonly terminalId: string;
  readonly kind: SceneTerminalKind;
  readonly centre: Point;
  /** A screen without a terminal of its own has a joint instead of a screw. */
  readonly isJoint: boolean;
  readonly name: PlannedText;
}

/** A line inside a strip: from its edge to a terminal, or between the levels of one terminal. */
export interface PlannedLink {
  readonly kind: SceneTerminalKind;
  readonly points: readonly Point[];
}

export interface PlannedCore {
  readonly id: string;
  readonly cableId: string;
  readonly kind: SceneCoreKind;
  readonly colour: string;
  readonly points: readonly Point[];
  /** Wire number and colour code above the line. */
  readonly text: PlannedText | undefined;
  /** Ends that are cut back and insulated. */
  readonly caps: readonly Point[];
  readonly existing: boolean;
}

/** A cable round its cores, with its name, construction and length above. */
export interface PlannedCable {
  readonly id: string;
  readonly centre: Point;
  readonly radiusX: number;
  readonly radiusY: number;
  readonly texts: readonly PlannedText[];
  readonly mark: Mark;
  readonly description: string;
}

/** Where a cable goes on elsewhere: a dashed line across its cores and where to look. */
export interface PlannedContinuation {
  readonly cableId: string;
  readonly from: Point;
  readonly to: Point;
  readonly text: PlannedText;
  readonly mark: Mark;
}

export interface PlannedTermination {
  readonly stripId: string;
  readonly state: 'fitted' | 'missing';
  readonly rect: Rect;
  /** Leads from the two terminals to the resistor. */
  readonly leads: readonly (readonly Point[])[];
  readonly text: PlannedText;
}

export interface PlannedEarth {
  readonly stripId: string;
  readonly at: Point;
  readonly lengthPx: number;
}

export interface PlannedCover {
  readonly stripId: string;
  readonly state: 'fitted' | 'missing';
  readonly rect: Rect;
  readonly text: PlannedText;
}

export type TerminalsLegendKey =
  | `colour-${string}`
  | 'screen'
  | 'cable'
  | 'fitted'
  | 'missing'
  | 'bonded'
  | 'cover'
  | 'coverMissing'
  | 'spare'
  | 'coreMissing'
  | 'estimated'
  | 'error'
  | 'warning'
  | 'hint';

export interface TerminalsPlan {
  readonly view: 'terminals';
  readonly widthPx: number;
  readonly heightPx: number;
  readonly sheet: SceneTitle;
  readonly header: readonly PlannedText[];
  readonly rowNumbers: readonly PlannedText[];
  readonly strips: readonly PlannedStrip[];
  readonly terminals: readonly PlannedTerminal[];
  readonly links: readonly PlannedLink[];
  readonly cores: readonly PlannedCore[];
  readonly cables: readonly PlannedCable[];
  readonly continuations: readonly PlannedContinuation[];
  readonly terminations: readonly PlannedTermination[];
  readonly earths: readonly PlannedEarth[];
  readonly covers: readonly PlannedCover[];
  readonly badges: readonly PlannedBadge[];
  readonly legend: readonly PlannedLegendItem<TerminalsLegendKey>[];
  readonly findings: readonly PlannedFinding[];
  readonly footerTexts: readonly PlannedText[];
}
