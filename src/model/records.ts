/** The site's own declarations: places, boards, devices, networks, waivers, observations. Plain data, names as written. */
import type { Equipment, BusType, Cable, Voltage } from './equipment.js';
import type { PartPath } from './origin.js';
import type { Bus, Feed, PathName } from './wiring.js';
import type { Curve, MeterState, Phase, SeverityLevel } from './values.js';

export interface SiteSettings {
  readonly kind: 'site';
  readonly name: string;
  readonly title?: string;
  readonly doc?: string;
  readonly drawing?: string;
  readonly revision?: string;
  readonly owner?: string;
  readonly creator?: string;
  readonly approved?: string;
  /** ISO date. */
  readonly issued?: string;
  readonly voltageDropLimitPercent?: number;
  readonly conductorTemperatureC?: number;
  readonly severities: readonly { readonly rule: string; readonly level: SeverityLevel }[];
  readonly estimate?: { readonly factor?: number; readonly endsM?: number };
}

export interface Room {
  readonly name: string;
  readonly title?: string;
  readonly atM?: { readonly x: number; readonly y: number };
}

export interface Area {
  readonly kind: 'area';
  readonly name: string;
  readonly title?: string;
  readonly doc?: string;
  readonly levelM?: number;
  readonly rooms: readonly Room[];
}

export interface Way {
  readonly name: string;
  readonly title?: string;
  readonly voltage?: Voltage;
  readonly threePhase: boolean;
  readonly ratedA?: number;
  readonly curve?: Curve;
  readonly rcdA?: number;
  readonly poles?: number;
  readonly phase?: Phase;
  readonly existing: boolean;
}

export interface Board {
  readonly kind: 'board';
  readonly name: string;
  readonly title?: string;
  readonly doc?: string;
  readonly room?: string;
  /** The way that feeds it; a board without one is an incomer and ends the search for sources. */
  readonly from?: { readonly owner: string; readonly member: string };
  readonly existing: boolean;
  readonly ways: readonly Way[];
}

export interface Isolator {
  readonly kind: 'isolator';
  readonly name: string;
  readonly title?: string;
  readonly doc?: string;
  readonly on: { readonly owner: string; readonly member: string };
  readonly room?: string;
  readonly lockable: boolean;
  readonly existing: boolean;
}

/** An inlet fed straight from a way or outlet, by a line in the device. */
export interface InletLine {
  /** Counts the device's inlet lines from 0; the key of its origin (`inlet/0`). */
  readonly index: number;
  readonly inlet: string;
  readonly from: { readonly owner: string; readonly member: string };
  readonly cable?: string;
  readonly lengthM?: number;
  readonly covered: boolean;
  readonly existing: boolean;
}

export interface AddressLine {
  readonly index: number;
  readonly address: number;
  /** Where left out it holds on every addressed bus of the device. */
  readonly port?: string;
}

export interface Device {
  readonly kind: 'device';
  readonly name: string;
  readonly title?: string;
  readonly doc?: string;
  readonly equipment: string;
  /** As written: `Plant` or `Level1.Plant`. */
  readonly room?: string;
  readonly existing: boolean;
  readonly main: boolean;
  readonly addresses: readonly AddressLine[];
  readonly inletLines: readonly InletLine[];
  /** What an instance of an assembly states for parameters; missing where it states none. */
  readonly sets?: readonly ParameterValue[];
}

/** A parameter of an assembly with a value: a length in metres, or a plain number. */
export interface ParameterValue {
  readonly name: string;
  readonly value: number;
  readonly unit: 'm' | '';
}

export interface Containment {
  readonly kind: 'containment';
  readonly name: string;
  readonly title?: string;
  readonly doc?: string;
  readonly divided: boolean;
  readonly carries: readonly PathName[];
}

export interface Router {
  readonly index: number;
  readonly name?: string;
  readonly address?: string;
}

export interface Host {
  /** Counts the network's hosts from 0; the key of its origin (`host/0`). */
  readonly index: number;
  readonly device: string;
  readonly lan: string;
  /** As written; undefined for `dhcp`. */
  readonly address?: string;
  readonly dhcp: boolean;
  readonly from?: { readonly owner: string; readonly member: string };
  readonly cable?: string;
  readonly lengthM?: number;
  readonly ipv6?: string;
  readonly page?: string;
  readonly certificateName?: string;
  /** ISO date. */
  readonly expires?: string;
  readonly fingerprint?: string;
  readonly existing: boolean;
}

export interface Pool {
  readonly index: number;
  readonly from: string;
  readonly to: string;
}

export interface Network {
  readonly kind: 'network';
  readonly name: string;
  readonly title?: string;
  readonly doc?: string;
  /** `a.b.c.d/n` as written. */
  readonly prefix?: string;
  readonly vlan?: number;
  readonly routers: readonly Router[];
  readonly pools: readonly Pool[];
  readonly hosts: readonly Host[];
  readonly laptops: readonly { readonly index: number; readonly address: string }[];
}

export interface Zone {
  readonly kind: 'zone';
  readonly name: string;
  readonly title?: string;
  readonly doc?: string;
  readonly units: readonly string[];
}

export interface Waiver {
  readonly kind: 'accept';
  readonly rule: string;
  readonly on: string;
  readonly upTo?: { readonly value: number; readonly unit: string };
  readonly because?: string;
  /** ISO date. */
  readonly until?: string;
}

export type Seen =
  | { readonly how: 'finds'; readonly count: number }
  | { readonly how: 'misses'; readonly device: string }
  | {
      readonly how: 'measures';
      /** In the base unit `unit`: V, A, ohm … */
      readonly value: number;
      readonly unit: string;
      readonly state?: MeterState;
      readonly withinPercent?: number;
    }
  | { readonly how: 'page-opens' }
  | { readonly how: 'page-fails'; readonly text: string };

export interface Observation {
  readonly kind: 'observed';
  readonly subject: string;
  readonly seen: Seen;
  /** ISO date. */
  readonly on?: string;
}

/** What may stand in an assembly. */
export type AssemblyPart = Device | Bus | Feed | Isolator;

/** A member of a part that an assembly offers under a name of its own. */
export interface Exposure {
  readonly name: string;
  /** From the part inwards: `FC`, `field`; longer where the part is an assembly itself. */
  readonly path: PathName;
}

/** Several devices with their runs, to be used like one piece of equipment. Names in it are its own. */
export interface Assembly {
  readonly kind: 'assembly';
  readonly name: string;
  readonly title?: string;
  readonly doc?: string;
  readonly parts: readonly AssemblyPart[];
  readonly parameters: readonly ParameterValue[];
  readonly exposes: readonly Exposure[];
}

/** A device whose equipment is an assembly. What is in it stands beside it in the model, as `GR-101.FC`. */
export interface Instance {
  readonly kind: 'instance';
  readonly name: string;
  readonly title?: string;
  readonly doc?: string;
  readonly assembly: string;
  readonly room?: string;
  /** The full names of everything in it, in text order, that of inner instances included. */
  readonly parts: readonly string[];
  /** How many parts it would have, where they are too many to be expanded. */
  readonly unexpandedParts?: number;
  /** Lines of it that reach nothing in it: an address that names no port, and `main`. */
  readonly unreached?: readonly PartPath[];
}

export interface Use {
  readonly kind: 'use';
  readonly path: string;
}

/** What one declaration at column 0 says. */
export type Declaration =
  | Use
  | SiteSettings
  | BusType
  | Cable
  | Equipment
  | Area
  | Board
  | Isolator
  | Device
  | Bus
  | Feed
  | Containment
  | Network
  | Zone
  | Waiver
  | Observation
  | Assembly
  | Instance;

export type DeclarationKind = Declaration['kind'];
export type DeclarationOf<Kind extends DeclarationKind> = Extract<
  Declaration,
  { readonly kind: Kind }
>;
