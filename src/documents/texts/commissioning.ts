/** Words of the commissioning sheet. */
import { say } from '../document.js';
import type { Phrase, Quantity } from '../document.js';

export const commissioningTexts = {
  title: 'Commissioning sheet',
  about:
    'Fill in from top to bottom. Each part presumes the ones above it: an ohm reading is worth nothing on a live pair, a count is worth nothing on a bus whose idle voltage is wrong.',
  rules: [
    'Write what is seen, not what was expected. Leave "ok" open where they differ, and find out why before going on.',
    'An expected value without a number could not be computed: the reason stands in its place.',
  ],
  sections: {
    ohms: '1. Power off: resistance of each pair',
    idle: '2. Power on, nobody talking: voltage of each pair',
    voltages: '3. Voltage at each powered device',
    finds: '4. What each controller must find',
    addresses: '5. Addresses to see',
    pages: '6. Web pages',
    handover: '8. Hand-over',
  },
  ohmsDanger:
    'Only after the pair has been proved dead at both ends, core to core and each core to earth (order of work). An ohmmeter on a live pair can kill the meter and hurt who holds it.',
  ohmsAbout: (tolerance: Quantity): Phrase =>
    say`Measure between the two wires at the place named, plugs of the electronics out where the device allows it. The range allows for ${tolerance} (meter, cable, resistors).`,
  ohmsMeaning: (one: Quantity): Phrase =>
    say`About twice the expected value: one terminator is missing. Much less: one too many, or a short. Terminators with a capacitor read open. One terminator alone is ${one}.`,
  idleAbout: (threshold: Quantity): Phrase =>
    say`Stop the port that polls, then measure with the red lead on the positive wire of the pair. Receivers need at least ${threshold}; a negative reading means that the pair is crossed.`,
  voltagesAbout:
    'At the terminals of the device, under load. Mains readings are taken by the licensed electrician.',
  findsAbout:
    'In this order: units first, then the controllers that must find them. Start a new search on the controller, wait until it has ended, write down the count.',
  roundsAbout:
    'A controller asks a device that does not answer again and again, and waits each time: one round takes longer by far. Where a list stays slow or a value stale, look for dead devices first.',
  addressesAbout:
    'For each controller what it must list. Where a unit is missing, look at its address, its supply and its pair before anything else.',
  pagesAbout: 'With the laptop set as the IP plan says.',
  handoverAbout: 'The system is handed over when every line above is ok or has a signed note.',
  nothing: {
    ohms: 'No bus of this site is terminated.',
    idle: 'No bus of this site has a bias that is stated.',
    voltages: 'No powered device.',
    finds: 'No controller of this site supervises anything.',
    pages: 'No host has a web page.',
  },
  columns: {
    bus: 'bus',
    at: 'measure at',
    place: 'place',
    expected: 'expected',
    least: 'at least',
    most: 'at most',
    least2: 'least allowed',
    device: 'device',
    terminals: 'between',
    source: 'fed from',
    nominal: 'nominal',
    note: 'note',
    controller: 'controller',
    finds: 'must find',
    limit: 'can take',
    units: 'which',
    alive: 'round, all answer',
    oneDead: 'one is dead',
    twoDead: 'two are dead',
    knownAs: 'shown as',
    unit: 'device',
    address: 'address',
    through: 'through',
    page: 'page',
    host: 'host',
    expect: 'what the browser shows',
    fingerprint: 'SHA-256 fingerprint',
    seen: 'seen',
    ok: 'ok',
    initials: 'initials',
    date: 'date',
  },
  mains: 'Mains: licensed electrician.',
  polarity: 'Check polarity first.',
  bySupply: 'supply',
  byBus: 'bus',
  notComputed: (needs: string): string =>
    needs === '' ? 'not computed' : `not computed: ${needs}`,
  noOperatingPoint: 'no operating point: see the findings',
  addressUnknown: 'none stated',
  handover: {
    installer: 'Installer',
    commissioner: 'Commissioner',
    owner: 'For the owner',
    openPoints: 'Open points',
    date: 'Date',
  },
} as const;
