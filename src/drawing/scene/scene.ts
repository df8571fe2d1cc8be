/**
 * What a drawing shows, as plain data: no positions, no colours, no knowledge of how a site is written.
 *
 * A scene refers to its own parts by `id`. Everything that can be clicked carries a {@link Mark}: an
 * opaque place (whoever made the scene knows what it means) and the name that people read.
 */

/** The views that exist. Others get a scene of their own and an entry in this union. */
export type View = 'topology' | 'terminals' | 'power' | 'ip';

export type SceneSeverity = 'error' | 'warning' | 'hint';

/** The roles that have a symbol of their own. */
export type SceneRole =
  | 'indoor-unit'
  | 'outdoor-unit'
  | 'room-controller'
  | 'zone-controller'
  | 'site-controller'
  | 'gateway'
  | 'supply'
  | 'junction'
  | 'repeater'
  | 'terminator'
  | 'switch'
  | 'meter'
  | 'sensor'
  | 'other';

/** What was seen of a device on site: as expected, otherwise, or nobody looked yet. */
export type SceneSeen = 'found' | 'missing' | 'open';

/** What a click on a part of the drawing leads to. */
export interface Mark {
  /** Opaque: handed back by the drawing as it came. */
  readonly place: string;
  /** The name as people write it: `FC-1-03`, `field-1`. */
  readonly name: string;
}

/** A length of cable in metres; null where nobody knows it. */
export interface SceneLength {
  readonly metres: number;
  /** True where it was worked out from the rooms and not stated. */
  readonly estimated: boolean;
}

/** The sheet's own words: what stands in its title. */
export interface SceneTitle {
  readonly title: string;
  readonly subtitle: string;
  readonly drawing?: string;
  readonly revision?: string;
  readonly owner?: string;
}

/** A finding as the drawing shows it: a numbered mark at its place and a line in the list below. */
export interface SceneFinding {
  /** Whoever made the scene knows the finding by it. */
  readonly key: string;
  readonly severity: SceneSeverity;
  readonly rule: string;
  readonly subject: string;
  readonly message: string;
  readonly mark: Mark;
  readonly at: SceneAnchor;
}

/** The part of the drawing that a finding is about; `sheet` where it is about none of them. */
export type SceneAnchor =
  | { readonly kind: 'device'; readonly id: string }
  | { readonly kind: 'board'; readonly id: string }
  | { readonly kind: 'area'; readonly id: string }
  | { readonly kind: 'run'; readonly id: string }
  | { readonly kind: 'segment'; readonly runId: string; readonly id: string }
  | { readonly kind: 'landing'; readonly runId: string; readonly id: string }
  | { readonly kind: 'network'; readonly id: string }
  /** A part of a tree or list, in the views that are made of them. */
  | { readonly kind: 'node'; readonly id: string }
  | { readonly kind: 'sheet' };

// ---------------------------------------------------------------------------------------------
// Topology
// ---------------------------------------------------------------------------------------------

export interface TopologyScene {
  readonly view: 'topology';
  readonly sheet: SceneTitle;
  readonly areas: readonly SceneArea[];
  readonly rooms: readonly SceneRoom[];
  readonly devices: readonly SceneDevice[];
  readonly boards: readonly SceneBoard[];
  /** Buses and feeds: ordered runs from landing to landing. */
  readonly runs: readonly SceneRun[];
  /** Inlets that are fed straight from one way or outlet. */
  readonly branches: readonly SceneBranch[];
  readonly networks: readonly SceneNetwork[];
  readonly findings: readonly SceneFinding[];
}

export interface SceneArea {
  readonly id: string;
  readonly title: string;
  /** Height of the floor in metres; undefined where nobody stated it. */
  readonly levelM?: number;
  readonly mark: Mark;
}

export interface SceneRoom {
  readonly id: string;
  readonly areaId: string;
  readonly title: string;
  readonly mark: Mark;
}

export interface SceneDevice {
  readonly id: string;
  readonly tag: string;
  /** What it is, in words: the title of its equipment. */
  readonly title: string;
  readonly role: SceneRole;
  readonly areaId?: string;
  readonly roomId?: string;
  readonly existing: boolean;
  /** Addresses as shown: `2`, or `site 3` where several buses have addresses of their own. */
  readonly addresses: readonly string[];
  /** How many devices a controller must find; undefined for what is no controller. */
  readonly finds?: number;
  /** What was seen of it; left out where the picture does not show that, or there is nothing to look at. */
  readonly seen?: SceneSeen;
  readonly mark: Mark;
}

export interface SceneBoard {
  readonly id: string;
  readonly tag: string;
  readonly title: string;
  readonly areaId?: string;
  readonly existing: boolean;
  readonly ways: readonly SceneWay[];
  readonly mark: Mark;
}

export interface SceneWay {
  readonly id: string;
  readonly tag: string;
  /** Rating and curve in words: `400 V 3~ · 32 A C`. */
  readonly text: string;
  readonly existing: boolean;
  readonly mark: Mark;
}

export type SceneRunKind = 'bus' | 'feed';
export type SceneShape = 'chain' | 'tree' | 'star' | 'ring' | 'free';

/** An ordered run: a bus over ports, or a feed from its outlet over inlets. */
export interface SceneRun {
  readonly id: string;
  readonly kind: SceneRunKind;
  readonly shape: SceneShape;
  readonly existing: boolean;
  /** Words for the tooltip: bus type and cable. */
  readonly title: string;
  readonly landings: readonly SceneLanding[];
  readonly segments: readonly SceneSegment[];
  readonly mark: Mark;
}

/** Where a run is landed: a port, an inlet or an outlet of a device, or a way of a board. */
export interface SceneLanding {
  readonly id: string;
  readonly owner: { readonly kind: 'device' | 'board'; readonly id: string };
  /** Name of the port, inlet, outlet or way. */
  readonly member: string;
  /** `missing`: an end that needs one and has none. */
  readonly terminator: 'none' | 'fitted' | 'missing';
  /** True where the screen has its connection to earth. */
  readonly bonded: boolean;
  readonly mark: Mark;
}

/** A piece of cable between two landings of one run. */
export interface SceneSegment {
  readonly id: string;
  readonly from: string;
  readonly to: string;
  readonly kind: 'main' | 'spur' | 'ring';
  readonly length: SceneLength | null;
  readonly existing: boolean;
  readonly mark: Mark;
}

/** One way or outlet with every inlet that a line in a device feeds from it. */
export interface SceneBranch {
  readonly id: string;
  readonly owner: { readonly kind: 'device' | 'board'; readonly id: string };
  readonly member: string;
  readonly taps: readonly SceneTap[];
  readonly mark: Mark;
}

/** What a branch feeds: an inlet of a device, or a board. */
export interface SceneTap {
  readonly owner: { readonly kind: 'device' | 'board'; readonly id: string };
  readonly member: string;
  readonly mark: Mark;
}

export interface SceneNetwork {
  readonly id: string;
  readonly prefix: string;
  readonly title: string;
  readonly hosts: readonly SceneHost[];
  readonly mark: Mark;
}

export interface SceneHost {
  readonly deviceId: string;
  readonly lan: string;
  /** Address as shown: dotted quad, or `dhcp`. */
  readonly address: string;
  readonly mark: Mark;
}

// ---------------------------------------------------------------------------------------------
// Terminals
// ---------------------------------------------------------------------------------------------

export interface TerminalsScene {
  readonly view: 'terminals';
  readonly sheet: SceneTitle;
  /** The run's own name, as it stands in its pill. */
  readonly run: string;
  readonly strips: readonly SceneStrip[];
  readonly cables: readonly SceneCable[];
  readonly findings: readonly SceneFinding[];
}

/** A terminal strip: one port, inlet, outlet or way of one device, in the order of the run. */
export interface SceneStrip {
  readonly id: string;
  readonly tag: string;
  /** What stands under the tag: room, member, address. */
  readonly detail: string;
  readonly existing: boolean;
  readonly terminals: readonly SceneTerminal[];
  /** A terminator across the first two conductors: fitted with its value, missing, or none. */
  readonly terminator: 'none' | 'fitted' | 'missing';
  readonly terminatorText: string;
  /** What is asked of exposed live terminals. */
  readonly cover: 'none' | 'fitted' | 'missing';
  readonly mark: Mark;
}

export type SceneTerminalKind = 'signal' | 'power' | 'protective-earth' | 'screen';

export interface SceneTerminal {
  readonly id: string;
  readonly name: string;
  readonly kind: SceneTerminalKind;
  /** For a screen: connected to earth here, on a terminal of its own, joined through, or insulated. */
  readonly screen: 'bonded' | 'landed' | 'carried-through' | 'insulated' | 'none';
}

/** A cable between two strips. */
export interface SceneCable {
  readonly id: string;
  readonly from: string;
  readonly to: string;
  /** Name of the cable on the drawing: `field-1/3`. */
  readonly name: string;
  /** Cores and section in words: `2 × 0.75 mm² + screen`. */
  readonly construction: string;
  readonly length: SceneLength | null;
  readonly kind: 'main' | 'spur' | 'ring';
  readonly existing: boolean;
  readonly cores: readonly SceneCore[];
  readonly mark: Mark;
}

export type SceneCoreKind = SceneTerminalKind | 'spare' | 'missing';

/** One core: from which terminal to which; an undefined end is cut back and insulated. */
export interface SceneCore {
  readonly id: string;
  /** Ids of terminals of the strips at the two ends. */
  readonly fromTerminal?: string;
  readonly toTerminal?: string;
  /** Colour code of IEC 60757 or the core's number; empty for a screen, which is bare. */
  readonly colour: string;
  readonly wireNumber: string;
  /** `missing`: terminals that the cable has no core for. */
  readonly kind: SceneCoreKind;
}
