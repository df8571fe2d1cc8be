/** The tables of value slots: what may stand there, with a line of explanation for completion and hover. */

/** One value of a slot. */
export interface SlotValue {
  readonly value: string;
  readonly explains: string;
}

const table = <const Values extends Readonly<Record<string, string>>>(values: Values) => values;

export const ROLES = table({
  'indoor-unit': 'A unit that conditions a room; controllers find it.',
  'outdoor-unit': 'A unit outside the rooms that serves indoor units.',
  'room-controller': 'A wall controller for the units of one room.',
  'zone-controller': 'A controller for a floor or a group of rooms.',
  'site-controller': 'A controller for the whole site.',
  gateway: 'Passes what one bus or network knows on to another.',
  supply: 'Turns one voltage into another for controllers.',
  junction: 'A terminal box that joins cables of one segment.',
  repeater: 'Joins two segments of a bus and regenerates the signal.',
  terminator: 'A terminating resistor in a box of its own.',
  switch: 'An Ethernet switch.',
  meter: 'Measures energy or another quantity.',
  sensor: 'Measures a condition of a room or of plant.',
  other: 'Anything else.',
});
export type Role = keyof typeof ROLES;

export const SHAPES = table({
  chain: 'One line from device to device.',
  tree: 'A line with branches.',
  star: 'All lines meet in one junction.',
  ring: 'A line that comes back to its first landing.',
  free: 'Any of them, a ring excepted only where the standard says so.',
});
export type Shape = keyof typeof SHAPES;

export const TALKS = table({
  controller: 'May start talking on the bus.',
  responder: 'Answers when it is asked.',
  neither: 'Only lets the bus pass or powers it.',
});
export type TalksAs = keyof typeof TALKS;

export const DRAWS = table({
  'constant-current': 'The same current at any voltage.',
  'constant-power': 'The same power at any voltage: more current as the voltage falls.',
  resistive: 'A current in proportion to the voltage.',
});
export type Draws = keyof typeof DRAWS;

export const CURVES = table({
  B: 'Trips at 3 to 5 times its rating.',
  C: 'Trips at 5 to 10 times its rating.',
  D: 'Trips at 10 to 20 times its rating.',
  K: 'Trips at 8 to 14 times its rating.',
  Z: 'Trips at 2 to 3 times its rating.',
  gG: 'A general-purpose fuse.',
});
export type Curve = keyof typeof CURVES;

export const CERTIFICATES = table({
  'self-signed': 'The device vouches for itself: compare the fingerprint.',
  'own-authority': "Issued by the owner's own authority.",
  public: 'Issued by a public authority.',
});
export type CertificateKind = keyof typeof CERTIFICATES;

export const LENGTH_LIMITS = table({
  total: 'All cable of the segment.',
  farthest: 'Between the two ports furthest apart.',
  stub: 'A spur with one landing.',
  source: 'From the port that powers the bus.',
});
export type LengthLimit = keyof typeof LENGTH_LIMITS;

export const TERMINATE_WHERE = table({
  'both-ends': 'A terminator at each end of the segment.',
  'one-end': 'A terminator at one end of the segment.',
});
export type TerminateWhere = keyof typeof TERMINATE_WHERE;

export const SCREEN_BONDS = table({
  'one-end': 'The screen is connected to earth in one place.',
  'both-ends': 'The screen is connected to earth at both ends.',
});
export type ScreenBond = keyof typeof SCREEN_BONDS;

export const SIGNALS = table({ rs485: 'A balanced pair by TIA-485-A.' });
export type SignalKind = keyof typeof SIGNALS;

export const SCANS = table({
  poll: 'One port asks each of the others in turn.',
  token: 'A token goes round the ports that may talk.',
});
export type ScanBy = keyof typeof SCANS;

export const ADDRESSED_BY = table({
  switch: 'Set by switches on the device.',
  none: 'Has no address.',
  tool: 'Set with a tool over the bus.',
});
export type AddressedBy = keyof typeof ADDRESSED_BY;

export const METER_STATES = table({
  idle: 'Powered, nobody talking.',
  'power-off': 'All power off.',
});
export type MeterState = keyof typeof METER_STATES;

export const SEVERITY_LEVELS = table({ error: '', warning: '', hint: '', off: 'Not reported.' });
export type SeverityLevel = keyof typeof SEVERITY_LEVELS;

export const PHASES = table({ L1: '', L2: '', L3: '' });
export type Phase = keyof typeof PHASES;

/** Colours of IEC 60757. GNYE stands for the protective conductor alone. */
export const COLOURS = table({
  BK: 'black',
  BN: 'brown',
  RD: 'red',
  OG: 'orange',
  YE: 'yellow',
  GN: 'green',
  BU: 'blue',
  VT: 'violet',
  GY: 'grey',
  WH: 'white',
  PK: 'pink',
  GD: 'gold',
  TQ: 'turquoise',
  SR: 'silver',
  GNYE: 'green-yellow: protective conductor only',
});

/** Whether a text is one of a table's values. */
export function isValueOf<Values extends Readonly<Record<string, string>>>(
  values: Values,
  text: string,
): text is keyof Values & string {
  return Object.hasOwn(values, text);
}
