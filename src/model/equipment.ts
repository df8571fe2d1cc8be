/** Templates: bus types, cables and equipment. Plain data, names as written. */
import type { ConductorSize, CurrentKind } from './quantity.js';
import type {
  AddressedBy,
  CertificateKind,
  Curve,
  Draws,
  LengthLimit,
  Role,
  ScanBy,
  ScreenBond,
  Shape,
  SignalKind,
  TalksAs,
  TerminateWhere,
} from './values.js';

/** A voltage with its kind; `kind` is missing where the text says only `V`. */
export interface Voltage {
  readonly volts: number;
  readonly kind?: CurrentKind;
}

/** What a bus of this type may be. Everything that is left out is not judged. */
export interface BusType {
  readonly kind: 'bustype';
  readonly name: string;
  readonly title?: string;
  readonly doc?: string;
  readonly conductors?: number;
  readonly polarised: boolean;
  readonly shape?: Shape;
  /** Most ports (as controller or responder) on one segment. */
  readonly drops?: number;
  /** Limits in metres. */
  readonly lengthLimitM: Readonly<Partial<Record<LengthLimit, number>>>;
  readonly addresses?: {
    readonly from: number;
    readonly to: number;
    readonly except: readonly number[];
  };
  /** Most ports as controller; 1 where left out. */
  readonly controllers?: number;
  /** Most ports that power the bus; 1 where left out. */
  readonly sources?: number;
  readonly cable?: {
    readonly from: ConductorSize;
    readonly to: ConductorSize;
    readonly screened: boolean;
    readonly twisted: boolean;
  };
  readonly terminate?: { readonly where: TerminateWhere; readonly ohm: number };
  readonly signal?: {
    readonly kind: SignalKind;
    readonly rateBaud?: number;
    readonly unitLoads?: number;
  };
  readonly scan?: { readonly withinS: number; readonly by: ScanBy };
  readonly power?: { readonly nominal: Voltage; readonly minimumVolts?: number };
  readonly screenBonded?: ScreenBond;
}

/** A cable by its construction. */
export interface Cable {
  readonly kind: 'cable';
  readonly name: string;
  readonly title?: string;
  readonly doc?: string;
  readonly cores?: {
    readonly count: number;
    readonly size: ConductorSize;
    readonly conductorClass?: 1 | 2 | 5;
  };
  /** IEC 60757 codes in core order. */
  readonly colours: readonly string[];
  readonly screened: boolean;
  readonly twisted: boolean;
  readonly impedanceOhm?: number;
  readonly velocityPercent?: number;
  readonly ratedVolts?: number;
  readonly reelM?: number;
  readonly ampacityA?: number;
}

/** A power input of a piece of equipment. */
export interface Inlet {
  readonly name: string;
  readonly voltage?: Voltage;
  readonly threePhase: boolean;
  /** Stated current in A, or power in VA or W; whichever the text gives. */
  readonly currentA?: number;
  readonly powerVA?: number;
  readonly powerW?: number;
  readonly powerFactor?: number;
  readonly draws?: Draws;
  readonly tolerancePercent?: number;
  readonly terminals: readonly string[];
  readonly dedicated: boolean;
  readonly exposed: boolean;
  readonly optional: boolean;
  readonly isolates: boolean;
  readonly doubleInsulated: boolean;
  readonly capacity?: number;
}

/** A power output of a piece of equipment. */
export interface Outlet {
  readonly name: string;
  readonly voltage?: Voltage;
  readonly threePhase: boolean;
  readonly currentA?: number;
  readonly powerVA?: number;
  readonly powerW?: number;
  readonly terminals: readonly string[];
  readonly class2: boolean;
  readonly selv: boolean;
  readonly pelv: boolean;
  /** The inlet that feeds it; where left out and there is one inlet, that one. */
  readonly fromInlet?: string;
  readonly regulationPercent?: number;
  readonly resistanceOhm?: number;
  readonly protection?: { readonly ratedA: number; readonly curve?: Curve };
  readonly stored: boolean;
  readonly decoupled: boolean;
  readonly capacity?: number;
}

/** A port of a piece of equipment on a bus. */
export interface Port {
  readonly name: string;
  readonly busType: string;
  readonly terminals: readonly string[];
  readonly talksAs?: TalksAs;
  readonly capacity?: number;
  readonly screenTerminal?: string;
  readonly unitLoad?: number;
  readonly pollBytes?: number;
  readonly replyBytes?: number;
  readonly gives?: {
    readonly voltage: Voltage;
    readonly limitA?: number;
    readonly limitW?: number;
  };
  readonly takes?: { readonly currentA?: number; readonly powerW?: number };
  readonly bias?: { readonly ohm: number; readonly volts: number };
  readonly riseTimeS?: number;
  readonly processS?: number;
  readonly timeoutS?: number;
  readonly retries?: number;
  readonly maxMaster?: number;
  /** A built-in terminator, never ordered. */
  readonly terminatorOhm?: number;
  readonly addressedBy?: AddressedBy;
}

/** A network socket of a piece of equipment. */
export interface LanPort {
  readonly name: string;
  /** `a.b.c.d/n` as written. */
  readonly defaultAddress?: string;
  readonly httpsOnly: boolean;
  readonly certificate?: CertificateKind;
  readonly takesPoeClass?: number;
  readonly givesPoeClass?: number;
}

export interface Supervises {
  readonly role: Role;
  readonly port: string;
  readonly upTo?: number;
}

/** `relays`: supervision passes; `repeats`: a new segment, the same addresses; `passes`: the same segment. */
export interface Crossing {
  readonly how: 'relays' | 'repeats' | 'passes';
  readonly from: string;
  readonly to: string;
  readonly renumbered: boolean;
}

/** A kind of device. */
export interface Equipment {
  readonly kind: 'equipment';
  readonly name: string;
  readonly title?: string;
  readonly doc?: string;
  readonly role: Role;
  readonly extends?: string;
  readonly inlets: readonly Inlet[];
  readonly outlets: readonly Outlet[];
  readonly ports: readonly Port[];
  readonly lans: readonly LanPort[];
  readonly supervises: readonly Supervises[];
  readonly crossings: readonly Crossing[];
  readonly cautions: readonly string[];
  readonly poeBudgetW?: number;
  readonly deprecated?: { readonly why: string; readonly replacedBy?: string };
}
