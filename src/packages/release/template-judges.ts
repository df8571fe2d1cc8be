/** What of a template may change with which step. Every field stands here, or this does not compile. */
import type {
  BusType,
  Cable,
  Equipment,
  Inlet,
  LanPort,
  Outlet,
  Port,
  Supervises,
} from '../../model/equipment.js';
import { crossSectionMm2 } from '../../model/quantity.js';
import {
  APART,
  demand,
  fixed,
  gift,
  heaviest,
  isSame,
  less,
  more,
  noted,
  parts,
  text,
  type Judge,
  type Judges,
  type Step,
} from './judges.js';

export const equipmentJudges: Judges<Equipment> = {
  kind: APART,
  name: APART,
  title: text,
  doc: text,
  cautions: text,
  role: fixed,
  extends: fixed,
  inlets: APART,
  outlets: APART,
  ports: APART,
  lans: APART,
  supervises: APART,
  crossings: fixed,
  poeBudgetW: more(0),
  deprecated: noted,
};

export const inletJudges: Judges<Inlet> = {
  name: APART,
  voltage: fixed,
  threePhase: fixed,
  currentA: less(0),
  powerVA: less(0),
  powerW: less(0),
  powerFactor: more(1),
  draws: fixed,
  tolerancePercent: more(0),
  terminals: fixed,
  dedicated: demand,
  exposed: demand,
  optional: gift,
  isolates: gift,
  doubleInsulated: gift,
  capacity: more(0),
};

export const outletJudges: Judges<Outlet> = {
  name: APART,
  voltage: fixed,
  threePhase: fixed,
  currentA: more(0),
  powerVA: more(0),
  powerW: more(0),
  terminals: fixed,
  class2: gift,
  selv: gift,
  pelv: gift,
  fromInlet: fixed,
  regulationPercent: less(0),
  resistanceOhm: less(0),
  protection: fixed,
  stored: fixed,
  decoupled: gift,
  capacity: more(0),
};

export const portJudges: Judges<Port> = {
  name: APART,
  busType: fixed,
  terminals: fixed,
  talksAs: fixed,
  capacity: more(0),
  screenTerminal: fixed,
  unitLoad: less(0),
  pollBytes: less(0),
  replyBytes: less(0),
  gives: parts<NonNullable<Port['gives']>>({ voltage: fixed, limitA: more(0), limitW: more(0) }),
  takes: parts<NonNullable<Port['takes']>>({ currentA: less(0), powerW: less(0) }),
  bias: fixed,
  riseTimeS: fixed,
  processS: less(0),
  timeoutS: less(0),
  retries: less(0),
  maxMaster: fixed,
  terminatorOhm: fixed,
  addressedBy: fixed,
};

export const lanJudges: Judges<LanPort> = {
  name: APART,
  defaultAddress: fixed,
  httpsOnly: fixed,
  certificate: fixed,
  takesPoeClass: less(0),
  givesPoeClass: more(0),
};

export const supervisesJudges: Judges<Supervises> = {
  role: APART,
  port: APART,
  upTo: more(Infinity),
};

const lengths: Judge<BusType['lengthLimitM']> = (before, after) => {
  const names = [
    ...new Set([...Object.keys(before), ...Object.keys(after)]),
  ] as (keyof typeof before)[];
  const changed = names.filter((name) => before[name] !== after[name]);
  return heaviest(changed.map((name) => more(Infinity)(before[name], after[name]))) ?? 'patch';
};

const addresses: Judge<BusType['addresses']> = (before, after) => {
  if (before === undefined || after === undefined) {
    return 'major';
  }
  const keepsAll =
    after.from <= before.from &&
    after.to >= before.to &&
    after.except.every(
      (one) => before.except.includes(one) || one < before.from || one > before.to,
    );
  return keepsAll ? 'minor' : 'major';
};

const allowedCable: Judge<BusType['cable']> = (before, after) => {
  if (after === undefined) {
    return 'minor';
  }
  const keepsAll =
    before !== undefined &&
    crossSectionMm2(after.from) <= crossSectionMm2(before.from) &&
    crossSectionMm2(after.to) >= crossSectionMm2(before.to) &&
    (before.screened || !after.screened) &&
    (before.twisted || !after.twisted);
  return keepsAll ? 'minor' : 'major';
};

const shape: Judge<BusType['shape']> = (before, after) => {
  const wider = after === undefined || after === 'free' || (before === 'chain' && after === 'tree');
  return wider ? 'minor' : 'major';
};

const scan: Judge<BusType['scan']> = (before, after) => {
  if (after === undefined) {
    return 'minor';
  }
  const eases = before !== undefined && before.by === after.by && after.withinS > before.withinS;
  return eases ? 'minor' : 'major';
};

const signal: Judge<BusType['signal']> = (before, after) => {
  if (before === undefined || after === undefined) {
    return 'major';
  }
  const onlyLoads = isSame({ ...before, unitLoads: 0 }, { ...after, unitLoads: 0 });
  return onlyLoads ? more(Infinity)(before.unitLoads, after.unitLoads) : 'major';
};

export const busTypeJudges: Judges<BusType> = {
  kind: APART,
  name: APART,
  title: text,
  doc: text,
  conductors: fixed,
  polarised: demand,
  shape,
  drops: more(Infinity),
  lengthLimitM: lengths,
  addresses,
  controllers: more(1),
  sources: more(1),
  cable: allowedCable,
  terminate: fixed,
  signal,
  scan,
  power: parts<NonNullable<BusType['power']>>({ nominal: fixed, minimumVolts: less(0) }),
  screenBonded: fixed,
};

export const cableJudges: Judges<Cable> = {
  kind: APART,
  name: APART,
  title: text,
  doc: text,
  cores: fixed,
  colours: fixed,
  screened: gift,
  twisted: gift,
  impedanceOhm: fixed,
  velocityPercent: fixed,
  ratedVolts: more(0),
  reelM: noted,
  ampacityA: more(0),
};

/** A part that came: an inlet must be fed, a port may stay free. */
export function stepOfNewPart(kind: string, part: object): Step {
  const mustBeFed = kind === 'inlet' && !(part as Inlet).optional;
  return mustBeFed ? 'major' : 'minor';
}
