/** Words of the calculations. */
import { say } from '../document.js';
import type { Phrase, Quantity } from '../document.js';

export const calculationTexts = {
  title: 'Calculations',
  about:
    'For each bus and feed: what was computed, the limit, the margin, what it rests on, and the working behind it, so that a competent person can check it with paper and pencil.',
  conventions: [
    'The margin is the part of the limit that is left; a negative margin means that the limit is broken.',
    'Where only power is stated the load is taken as constant power; where current is stated, as constant current.',
    'The resistance of a cable is that of both its conductors, at the conductor temperature.',
    'A value that cannot be computed says what is missing. It is not zero.',
    'Formulas and sources stand at the end. Terms that stand in a schedule or a profile are not repeated here; all of them are in the data.',
  ],
  kinds: {
    bus: (name: string, title: string | undefined): string =>
      title === undefined ? `Bus ${name}` : `Bus ${name}: ${title}`,
    feed: (name: string, title: string | undefined): string =>
      title === undefined ? `Feed ${name}` : `Feed ${name}: ${title}`,
  },
  sections: {
    points: 'Ways and outlets',
    formulas: 'How the values are computed',
    temperature: 'What all voltages rest on',
  },
  temperature: (temperature: Quantity): Phrase =>
    say`Conductor temperature for voltages: ${temperature}.`,
  nothing: 'No bus and no feed.',
  captions: {
    values: 'Values and limits',
    profile: 'Voltage along the run',
    working: 'Working',
  },
  columns: {
    circuit: 'circuit',
    subject: 'of',
    value: 'what',
    amount: 'value',
    limit: 'limit',
    margin: 'margin',
    note: 'note',
    source: 'source',
    at: 'at',
    distance: 'distance',
    cable: 'last cable',
    voltage: 'voltage',
    current: 'current in the last cable',
    least: 'at least',
    left: 'left over',
    term: 'term',
    terms: 'from these terms',
    basis: 'known by',
    text: 'is',
    formula: 'formula',
    fact: 'value',
  },
  /** What each value is called on paper. */
  names: {
    drops: 'ports on the segment',
    'total-length': 'total length',
    'farthest-length': 'length between the two farthest ports',
    'longest-stub': 'longest stub',
    'unit-loads': 'unit loads',
    'idle-voltage': 'idle voltage at the worst place',
    'far-signal': 'signal at the farthest port',
    'head-resistance': 'resistance at the head, power off',
    'scan-time': 'round over all devices',
    load: 'load',
    spare: 'left over',
    voltage: 'voltage',
    'voltage-drop': 'voltage drop',
    'collapse-margin': 'load may grow by this factor',
    'fault-current': 'fault current at the far end',
  } as Readonly<Record<string, string>>,
  restsOn: (parts: Phrase): Phrase => say`Rests on what is not stated: ${parts}.`,
  noLoadThatCollapses: 'no load of constant power: nothing can collapse',
  noOperatingPoint: 'no operating point: see the findings',
  notComputed: 'not computed',
  source: 'source',
  plot: {
    title: (name: string): string => `Voltage along ${name}`,
    across: 'distance',
    up: 'voltage',
    least: 'least allowed',
  },
} as const;
