/** What the new part of a site takes: counted from the model, nothing that is there already. */
import { cablesOfSite } from '../../analysis/cabling/cables.js';
import type { SiteCable } from '../../analysis/cabling/cables.js';
import { coresOf } from '../../analysis/cabling/cores.js';
import type { Cable, Equipment } from '../../model/equipment.js';
import type { Board, Device, Isolator, Way } from '../../model/records.js';
import { compareNames, memberKey } from '../../model/site.js';
import type { Site } from '../../model/site.js';
import { crossSectionMm2, sizeText } from '../../model/quantity.js';
import type { ConductorSize } from '../../model/quantity.js';
import { groupBy } from '../group-by.js';
import { fittingsOf } from '../schedule/fittings.js';
import type { Fitting } from '../schedule/fittings.js';
import { cutFromReels, cutLengthM } from '../../analysis/cabling/cutting.js';
import type { Cut, CutPlan } from '../../analysis/cabling/cutting.js';

/** Devices of one kind. */
export interface EquipmentLine {
  /** As written, also where no equipment of that name exists. */
  readonly name: string;
  readonly equipment: Equipment | undefined;
  readonly devices: readonly Device[];
}

/** The new cables of one type. */
export interface CableLine {
  /** The type as written; undefined where none is stated. */
  readonly name: string | undefined;
  readonly cable: Cable | undefined;
  /** With a known length. */
  readonly measured: readonly SiteCable[];
  /** Without one: to be measured before ordering. */
  readonly unmeasured: readonly SiteCable[];
  readonly runsM: number;
  readonly cutsM: number;
  /** Undefined where the type states no reel. */
  readonly plan: CutPlan | undefined;
}

/** Parts of a board that are new, for the licensed electrician. */
export type MainsPart =
  | { readonly kind: 'board'; readonly board: Board }
  | { readonly kind: 'way'; readonly board: Board; readonly way: Way }
  | { readonly kind: 'isolator'; readonly isolator: Isolator };

/** Ends of fine-stranded conductors of one size. */
export interface FerruleLine {
  readonly size: ConductorSize;
  readonly ends: number;
  /** True where some of these cables state no conductor class. */
  readonly classAssumed: boolean;
}

export function equipmentLines(site: Site): readonly EquipmentLine[] {
  return [...site.devicesOf]
    .map(([name, devices]) => ({
      name,
      equipment: site.equipment.get(name),
      devices: devices.filter((device) => !device.existing),
    }))
    .filter((line) => line.devices.length > 0)
    .sort((one, other) => compareNames(one.name, other.name));
}

export function mainsParts(site: Site): readonly MainsPart[] {
  const boards = [...site.boards.values()].sort((one, other) => compareNames(one.name, other.name));
  const isolators = [...site.isolators.values()].sort((one, other) =>
    compareNames(one.name, other.name),
  );
  return [
    ...boards.flatMap((board): MainsPart[] => [
      ...(board.existing ? [] : [{ kind: 'board' as const, board }]),
      ...board.ways
        .filter((way) => !way.existing && !board.existing)
        .map((way) => ({ kind: 'way' as const, board, way })),
    ]),
    ...isolators
      .filter((isolator) => !isolator.existing)
      .map((isolator) => ({ kind: 'isolator' as const, isolator })),
  ];
}

/** Cables to order by type: named types by name, then those without a stated type. */
export function cableLines(site: Site): readonly CableLine[] {
  return [...groupBy(newCables(site), (cable) => cable.cableName)]
    .map(([name, cables]) => cableLine(site, name, cables))
    .sort((one, other) =>
      one.name === undefined
        ? 1
        : other.name === undefined
          ? -1
          : compareNames(one.name, other.name),
    );
}

/** Terminators that are no part of a device. */
export function terminatorsToOrder(site: Site): readonly Fitting[] {
  return newFittings(site).filter((fitting) => fitting.kind === 'terminator');
}

export function coversToOrder(site: Site): readonly Fitting[] {
  return newFittings(site).filter((fitting) => fitting.kind === 'cover');
}

/** Ends that take a ferrule: those of fine-stranded cores (class 5, or assumed so) that land on a terminal. */
export function ferruleLines(site: Site): readonly FerruleLine[] {
  const bySize = new Map<string, FerruleLine>();
  for (const cable of newCables(site)) {
    const cores = cable.cable?.cores;
    if (cores === undefined || (cores.conductorClass ?? 5) !== 5) {
      continue;
    }
    const ends = coresOf(site, cable)
      .filter((core) => core.kind === 'conductor' || core.kind === 'protective-earth')
      .flatMap((core) => [core.fromTerminal, core.toTerminal])
      .filter((terminal) => terminal !== undefined).length;
    const key = sizeText(cores.size);
    const before = bySize.get(key);
    bySize.set(key, {
      size: cores.size,
      ends: (before?.ends ?? 0) + ends,
      classAssumed: (before?.classAssumed ?? false) || cores.conductorClass === undefined,
    });
  }
  return [...bySize.values()]
    .filter((line) => line.ends > 0)
    .sort((one, other) => crossSectionMm2(one.size) - crossSectionMm2(other.size));
}

/** Entries of one type of cable into enclosures. */
export interface GlandLine {
  /** The type as written; undefined where none is stated. */
  readonly cableName: string | undefined;
  readonly entries: number;
  readonly owners: readonly string[];
}

/** One gland for each end of a new cable that enters an enclosure; a socket takes a plug instead. */
export function glandLines(site: Site): readonly GlandLine[] {
  const cables = newCables(site).filter((cable) => cable.duty !== 'network');
  return [...groupBy(cables, (cable) => cable.cableName)]
    .map(([cableName, ofType]) => ({
      cableName,
      entries: 2 * ofType.length,
      owners: [...new Set(ofType.flatMap(({ from, to }) => [from.owner, to.owner]))].sort(
        compareNames,
      ),
    }))
    .sort((one, other) => compareNames(one.cableName ?? '\uffff', other.cableName ?? '\uffff'));
}

/** Labels for both ends of every new core. */
export function coreLabelCount(site: Site): number {
  return newCables(site).reduce(
    (sum, cable) =>
      sum +
      2 * Math.max(1, coresOf(site, cable).filter((core) => core.kind !== 'core-missing').length),
    0,
  );
}

export function newCables(site: Site): readonly SiteCable[] {
  return cablesOfSite(site).filter((cable) => !cable.existing);
}

/** The way or outlet that an isolator stands on. */
export function isolatedPoint(isolator: Isolator): string {
  return memberKey(isolator.on.owner, isolator.on.member);
}

function newFittings(site: Site): readonly Fitting[] {
  return fittingsOf(site).filter((fitting) => !fitting.existing);
}

function cableLine(site: Site, name: string | undefined, cables: readonly SiteCable[]): CableLine {
  const cable = name === undefined ? undefined : site.cables.get(name);
  const measured = cables.filter((one) => one.lengthM !== null);
  const reelM = cable?.reelM;
  const cuts = measured.map((one): Cut => ({
    id: one.id,
    cutM: cutLengthM(one.lengthM ?? 0, reelM),
  }));
  return {
    name,
    cable,
    measured,
    unmeasured: cables.filter((one) => one.lengthM === null),
    runsM: sum(measured.map((one) => one.lengthM ?? 0)),
    cutsM: sum(cuts.map((cut) => cut.cutM)),
    plan: reelM === undefined || reelM <= 0 ? undefined : cutFromReels(cuts, reelM),
  };
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}
