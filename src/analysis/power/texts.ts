/** The sentences and lines for people that the power analyses give: one catalogue for this folder. */
import type { Cable, Inlet, Outlet, Voltage } from '../../model/equipment.js';
import { formatNumber } from '../../model/quantity.js';
import type { NetworkProblem } from '../electrical/network.js';

export const powerTexts = {
  needsName: (name: string): string => `a known name in place of "${name}"`,
  needsFittingSource: (subject: string): string => `a source of the right type for ${subject}`,
  needsFigure: (equipment: string, inlet: Inlet): string =>
    `equipment ${equipment} { inlet ${inlet.name} ${voltageOr(inlet.voltage, '230 VAC')} 0.5 A }`,
  needsTakes: (equipment: string, port: string): string =>
    `equipment ${equipment} { port ${port} … { takes 20 mA } }`,
  needsWayVoltage: (board: string, way: string): string => `board ${board} { way ${way} 230 VAC }`,
  needsWayRating: (board: string, way: string): string => `board ${board} { way ${way} 6 A }`,
  needsOutletVoltage: (equipment: string, outlet: string): string =>
    `equipment ${equipment} { outlet ${outlet} 24 VAC }`,
  needsOutletRating: (equipment: string, outlet: Outlet): string =>
    `equipment ${equipment} { outlet ${outlet.name} ${voltageOr(outlet.voltage, '24 VAC')} ${
      outlet.voltage?.kind === 'dc' ? '2 A' : '60 VA'
    } }`,
  needsOutletResistance: (equipment: string, outlet: string): string =>
    `equipment ${equipment} { outlet ${outlet} … resistance 0.05 ohm }`,
  needsFeedCable: (feed: string, from: string): string => `feed ${feed} from ${from} using CABLE`,
  needsBusCable: (bus: string, type: string): string => `bus ${bus} : ${type} using CABLE`,
  needsLineCable: (device: string, inlet: string, from: string): string =>
    `device ${device} { inlet ${inlet} from ${from} using CABLE 10 m }`,
  needsHostCable: (subject: string, from: string): string =>
    `host ${subject} … from ${from} using CABLE 10 m`,
  needsDataCores: (cable: Cable, count: number): string =>
    `cable ${cable.name} { cores ${count} x 24 AWG }, a gauge or a size and class of IEC 60228`,
  needsBudget: (equipment: string): string => `equipment ${equipment} { poe-budget 60 W }`,
  needsLength: (subject: string): string => `land ${subject} 10 m`,
  needsRing: 'ring 10 m',
  needsLast: 'last 10 m',
  needsLandingCable: (subject: string): string => `land ${subject} using CABLE`,
  needsCores: (cable: Cable): string =>
    `cable ${cable.name} { cores 2 x 1.5 mm2 class 5 }, with a size and class of IEC 60228, or a gauge`,
  needsTolerance: (equipment: string, inlet: string): string =>
    `equipment ${equipment} { inlet ${inlet} … tolerance 10 % }`,
  needsInletLine: (device: string, inlet: string): string =>
    `device ${device} { inlet ${inlet} from DB-1.W1 }`,
  needsAcyclicSupply: (name: string): string => `a source of ${name} that it does not feed itself`,
  needsGiver: (busType: string): string =>
    `port … : ${busType} … { gives 15 VDC up to 240 mA } on a landed device`,
  needsIsolator: (on: string): string => `isolator Q-1 on ${on} in ROOM lockable`,
  needsSupplyOf: (name: string): string => `a way, outlet or socket that feeds ${name}`,
  sockets: (device: string): string => `the sockets of ${device}`,
  nameUnknown: (name: string): string => `The name "${name}" is not known.`,
  figureUnstated: (subject: string): string => `No current or power is stated for ${subject}.`,
  typeMismatch: (subject: string): string =>
    `${subject} does not fit its source, so its load has no meaning.`,
  supplyLoop: (subject: string): string =>
    `${subject} is fed by what it feeds, so its load cannot be added up.`,
  voltageUnstated: (subject: string): string => `The voltage of ${subject} is not stated.`,
  ratingForRegulation: (subject: string): string =>
    `${subject} states a regulation but no rating, so its resistance is not known.`,
  cableUnstated: (subject: string): string => `The cable to ${subject} is not stated.`,
  coresUnstated: (cable: string): string => `The cores of cable ${cable} are not stated.`,
  lengthUnknown: (subject: string): string =>
    `The length of the cable to ${subject} is neither stated nor to be estimated.`,
  rejected: (problem: NetworkProblem): string => NETWORK_PROBLEMS[problem],
  resistanceUnstated: (subject: string): string =>
    `Neither resistance nor regulation is stated for ${subject}.`,
  lineToLine: 'between two lines',
  lineToNeutral: 'between a line and the neutral or protective conductor',
  limitedSource:
    'The language has no word for the resistance of a port that powers a bus, so its fault current stays unknown.',
} as const;

const NETWORK_PROBLEMS: Readonly<Record<NetworkProblem, string>> = {
  'id-twice': 'The same inlet stands in this circuit twice.',
  'node-unknown': 'A cable of this circuit leads to nothing.',
  'value-out-of-range': 'A figure of this circuit is out of range.',
  'source-missing': 'Nothing powers this circuit.',
  'node-unsupplied': 'A part of this circuit is joined to no source.',
  'ideal-sources-joined':
    'Two sources without stated resistance meet in one point, so their shares are not defined.',
  'resistanceless-loop': 'A loop of cables without length has no defined currents.',
  'too-many-blocked-sources': 'More than four decoupled sources meet in this circuit.',
  'blocked-source-alternating':
    'Decoupled sources beside a power factor below 1 are not computed: diodes decouple direct current.',
  undecided: 'The voltages of this circuit could neither be found nor be shown not to exist.',
};

function voltageOr(voltage: Voltage | undefined, otherwise: string): string {
  return voltage === undefined ? otherwise : voltageText(voltage);
}

/** A voltage as the language writes it. */
export function voltageText(voltage: Voltage): string {
  const unit = voltage.kind === 'ac' ? 'VAC' : voltage.kind === 'dc' ? 'VDC' : 'V';
  return `${formatNumber(voltage.volts)} ${unit}`;
}
