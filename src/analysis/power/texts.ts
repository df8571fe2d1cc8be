/** The sentences and lines for people that the power analyses give: one catalogue for this folder. */
import type { Cable, Inlet, Outlet, Voltage } from '../../model/equipment.js';
import { formatNumber } from '../../model/quantity.js';
import type { NetworkProblem } from '../electrical/network.js';

export const powerTexts = {
  needsName: (name: string): string => `a known name in place of "${name}"`,
  needsFittingSource: (subject: string): string => `a source of the right type for ${subject}`,
  needsFigure: (inlet: Inlet): string =>
    `inlet ${inlet.name} ${inlet.voltage === undefined ? '… VAC' : voltageText(inlet.voltage)} … A`,
  needsTakes: (port: string): string => `port ${port} : … { takes … mA }`,
  needsWayVoltage: (way: string): string => `way ${way} … VAC`,
  needsWayRating: (way: string): string => `way ${way} … A`,
  needsOutletVoltage: (outlet: string): string => `outlet ${outlet} … VAC`,
  needsOutletRating: (outlet: Outlet): string =>
    `outlet ${outlet.name} ${outlet.voltage === undefined ? '… VAC' : voltageText(outlet.voltage)} … ${
      outlet.voltage?.kind === 'dc' ? 'A' : 'VA'
    }`,
  needsOutletResistance: (outlet: string): string => `outlet ${outlet} … resistance … ohm`,
  needsFeedCable: (feed: string, from: string): string => `feed ${feed} from ${from} using …`,
  needsBusCable: (bus: string, type: string): string => `bus ${bus} : ${type} using …`,
  needsLineCable: (inlet: string, from: string): string =>
    `inlet ${inlet} from ${from} using … … m`,
  needsLength: (subject: string): string => `land ${subject} … m`,
  needsRing: 'ring … m',
  needsLast: 'last … m',
  needsCores: (cable: Cable): string => `cable ${cable.name} { cores … x … mm2 class 5 }`,
  needsAmpacity: (cable: string): string => `cable ${cable} { ampacity … A }`,
  needsTolerance: (inlet: string): string => `inlet ${inlet} … tolerance … %`,
  needsInletLine: (inlet: string): string => `inlet ${inlet} from …`,
  needsGiver: (busType: string): string => `port … : ${busType} { gives … VDC up to … mA }`,
  needsGiverLimit: (port: string): string => `port ${port} : … { gives … VDC up to … mA }`,
  needsIsolator: (on: string): string => `isolator … on ${on} in … lockable`,
  needsPoeSource: (host: string): string => `host ${host} … from …`,
  needsEnergyOrigin: (name: string): string => `a way, outlet or line that feeds ${name}`,
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
};

/** A voltage as the language writes it. */
export function voltageText(voltage: Voltage): string {
  const unit = voltage.kind === 'ac' ? 'VAC' : voltage.kind === 'dc' ? 'VDC' : 'V';
  return `${formatNumber(voltage.volts)} ${unit}`;
}
