/** Words of the order of work. */
import { say } from '../document.js';
import type { Phrase, Quantity } from '../document.js';

export const procedureTexts = {
  title: 'Order of work',
  about:
    'Do the steps in this order. Tick and initial each one when it is done, not before. Stop and ask where the site is not as drawn.',
  nothing: 'Nothing of this site is new: there is no work to order.',
  dangers: [
    'Work on mains circuits is for licensed people only. Where this order and the law, the code of the place, the owner or the instructions of the equipment differ, they come first.',
    'A switch on a controller, a command from a screen, a pulled plug of a control circuit or an outlet that is off is never an isolation. Only the points listed here are, opened, locked and proved dead.',
    'Everything that is marked existing counts as live from the first step. Everything that is new counts as live as soon as it is connected to anything.',
    'Electrical isolation does not make the refrigerant circuit safe. Only certified people work on it. Ventilate; check for leaks and keep ignition sources away before opening electrical boxes where the refrigerant is flammable. Crankcase heaters may have a supply of their own.',
  ],
  cautions: [
    'Keep extra-low voltage and bus cables apart from mains, in the containment and inside every enclosure.',
    'Cover exposed live terminals with the covers that the equipment asks for before anything is energised.',
  ],
  sections: {
    before: 'Before the work',
    plan: 'Isolation plan',
    isolate: 'Shut down and isolate',
    prove: 'Prove dead',
    work: 'Pull and land',
    inspect: 'Inspect and test without power',
    unlock: 'Locks off',
    energise: 'Energise source by source',
    try: 'Try and hand over',
  },
  unlockable: (source: string): string =>
    `${source} reaches the work on a path without a lockable point. Do not start: have a lockable isolator fitted and drawn first.`,
  unstated: (device: string): string =>
    `Nobody states where ${device} gets its energy from. Find out and have it drawn before starting: what comes through it could be live.`,
  uncovered: (source: string): string =>
    `No point of this plan cuts ${source}. Do not start before it is known how it is kept away.`,
  inside: (source: string): string =>
    `${source} stores energy inside the enclosure: points outside do not take it away.`,
  boards: (boards: string): string =>
    `Lines end in ${boards}. A board is opened by the licensed electrician only, under an isolation of its own incoming supply that this plan does not cover.`,
  permit: [
    'Permit to work is issued for this work and names the person in charge.',
    'Everyone who will touch a terminal is named, trained for it and has locks, tester and protective equipment of their own.',
    'Drawings and schedules at hand are of the revision on this sheet.',
  ],
  permitStep:
    'Get the permit, name the people, check that drawings and schedules are of this revision.',
  informStep:
    'Inform the occupants and whoever relies on the plant. Write down set-points and modes that must be restored.',
  listStep:
    'Go through the tables of this section on site: find every source, every point and its place, and give each point a lock number. Write down what is not as drawn, and stop there.',
  pointsCaption: 'Points to open and lock',
  enclosuresCaption: 'What makes each enclosure dead',
  shutDownStep:
    'Shut the plant down in an orderly way with its own controls, and let it come to rest. This is no isolation.',
  openStep: (point: string, sources: string) => `Open ${point}. It keeps away ${sources}.`,
  openStoredStep: (point: string) =>
    `Disconnect the stored energy of ${point} as its instructions say, after everything else is open, and keep it apart.`,
  lockStep: (point: string, sources: string) =>
    `Lock ${point} open with a lock of each person who works, hang a tag on it, and try to close it: it must stay open. Source: ${sources}.`,
  lockStoredStep: (point: string) => `Tag the disconnected storage of ${point}.`,
  live: 'Live now.',
  storedPoint: 'Live as long as it holds charge, whatever is open.',
  backs: (points: string) =>
    `What is behind it is only being installed and cannot be relied on: ${points}.`,
  newPoint: 'New: not to be closed before its step below. Treat as live all the same.',
  waitStep:
    'Wait until stored charge is gone: the longest discharge time in the instructions of the equipment that is opened.',
  waitField: 'Longest discharge time, and where it stands',
  proveTesterStep: 'Prove the voltage tester on a known live source or a proving unit.',
  proveDeadStep: (device: string, place: string) => `Prove dead: ${device}, at ${place}.`,
  proveDeadHow:
    'At each enclosure: test every terminal to every other one, to neutral and to earth, with the two-pole tester. No terminal is touched before.',
  terminals: (list: string) => `Terminals: ${list}.`,
  keptAwayBy: (points: string) => `Kept away by: ${points}.`,
  reachedBy: (sources: string) => `Reached by: ${sources}.`,
  noSource: 'No source of the site reaches it once it is landed. Prove it dead all the same.',
  several: (points: string) =>
    `Fed from several places: ${points}. One of them alone leaves it live.`,
  proveAgainStep:
    'Prove the tester once more on the same source. If it fails, nothing has been proved: start this section again.',
  earthStep:
    'Person in charge decides: earth and short-circuit the isolated conductors, or note that the law and the standard allow to leave it out here.',
  earthFields: ['Earthed and short-circuited at', 'Left out, because', 'Decided by'],
  coverStep:
    'Cover live parts that stay near the work (finger-safe, IPXXB or better), bar the way to others, and insulate the ends of cores that are not landed yet.',
  pullStep:
    'Pull the cables of the cable schedule. Mark both ends before cutting, write down the length as measured, keep mains and control cables apart, and do not join a run.',
  landStep: (device: string, what: string, place: string) => `Land ${device}, ${what} (${place}).`,
  landRules: [
    'At each enclosure, before the first terminal is touched: prove it dead once more (tester, terminals, tester). Somebody may have been there since.',
    'Plugs of electronics stay out and local switches off until the step that connects the device.',
  ],
  landFirst: '☐ Proved dead once more.',
  land: (cable: string, strip: string, cores: string) => `${cable} on ${strip}: ${cores}.`,
  landMains: (cable: string, strip: string, cores: string) =>
    `${cable} on ${strip}: ${cores}. Licensed electrician.`,
  landNetwork: (cable: string, socket: string) =>
    `${cable}: plug in at ${socket}, label both ends.`,
  coreTo: (core: string, terminal: string) => `${core} to ${terminal}`,
  coreMissing: (terminal: string) => `${terminal} (core not stated)`,
  spareCut: (core: string) => `${core} spare, insulated`,
  cutBack: (core: string) => `${core} lands on nothing, insulated`,
  screenDone: (how: string) => `screen ${how}`,
  address: (port: string, address: Quantity): Phrase => say`${port}: set address ${address}.`,
  addressMissing: (port: string) =>
    `${port}: an address is needed and none is stated. See the findings.`,
  existingCable: (line: string) => `${line} This cable is existing.`,
  fitting: (member: string, what: string, ohm: Quantity | ''): Phrase =>
    ohm === '' ? say`${member}: ${what}.` : say`${member}: ${what}, ${ohm}.`,
  inspectStep:
    'Inspect every opened enclosure: right core on right terminal, nothing loose, screws at their torque, screens as scheduled, covers on, tools and offcuts out, labels at both ends.',
  testStep:
    'With electronics disconnected: continuity and polarity of every core, insulation between cores and to earth, then part 1 of the commissioning sheet (resistance of each pair). Tick "tested" in the connection schedule.',
  clearStep:
    'Covers fitted over all terminals, all people clear, everyone informed that power comes back.',
  energiseDanger:
    'Reading a voltage is work near live parts: at mains by licensed people only, with insulated probes and protective equipment, covers kept on as far as the probes allow, others kept away.',
  unlockStep: (point: string, sources: string) =>
    `Take the locks off ${point}, each lock by its owner in person. Leave it open. Source: ${sources}.`,
  unlockStoredStep: (point: string) => `Take the tag off the storage of ${point}.`,
  boardStep: (board: string) =>
    `${board} is tested and put into service by the licensed electrician, all its ways open.`,
  energiseStep: (point: string) =>
    `Close ${point}, nothing else. Read the voltages below before anything is plugged in; open it again where one is out of its range.`,
  closeStep: (point: string) => `Close ${point}, nothing else.`,
  energiseStoredStep: (point: string) =>
    `Reconnect the storage of ${point} as its instructions say.`,
  connectStep: (device: string, place: string) =>
    `Connect ${device}, at ${place}: plug its electronics in and switch it on.`,
  connectAfterReading: (device: string, place: string) =>
    `Connect ${device}, at ${place}: read the voltage first, then plug its electronics in and switch it on.`,
  finds: (names: string) => `It must find what is running by now: ${names}.`,
  tryStep:
    'Go through the commissioning sheet from part 2 to the end: idle voltages, voltages under load, counts, addresses, pages, and the function of each unit from its own controller.',
  signStep:
    'Restore set-points and modes, hand over the filled-in sheets, mark what differs on the drawings, sign.',
  signFields: ['Person in charge', 'Licensed electrician', 'Commissioner', 'Date'],
  columns: {
    point: 'point',
    place: 'place',
    kind: 'kind',
    sources: 'keeps away',
    state: 'state',
    above: 'further up',
    enclosures: 'enclosures',
    lock: 'lock no.',
    open: 'open',
    locked: 'locked',
    enclosure: 'enclosure',
    reached: 'reached by',
    dead: 'proved dead',
    at: 'read at',
    terminals: 'between',
    expect: 'without load',
    least: 'at least',
    most: 'at most',
    seen: 'seen',
    ok: 'ok',
    initials: 'initials',
    note: 'note',
  },
  kinds: { way: 'way', isolator: 'isolator', stored: 'stored energy' },
  states: { existing: 'existing: live now', fresh: 'new' },
  mains: 'Mains: licensed electrician.',
  existing: (device: string) => `${device} (existing)`,
  list: (names: readonly string[]): string => names.join(', '),
} as const;
