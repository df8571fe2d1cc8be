/** Words of the material list. */
import { say } from '../document.js';
import type { Phrase, Quantity } from '../document.js';

export const materialTexts = {
  title: 'Material list',
  about: 'What the new part of the work takes. What is existing is not listed.',
  columns: {
    kind: 'type',
    title: 'what',
    role: 'role',
    pieces: 'pieces',
    names: 'for',
    received: 'received',
    cable: 'cable type',
    runs: 'runs',
    runsLength: 'length of runs',
    cutsLength: 'length to cut',
    reelLength: 'reel',
    reels: 'reels',
    waste: 'left over',
    unmeasured: 'runs without a length',
    reel: 'reel no.',
    order: 'cut no.',
    run: 'cable',
    cut: 'cut to',
    done: 'cut',
    item: 'item',
    value: 'value',
    size: 'size',
    note: 'note',
    ready: 'ready',
  },
  sections: {
    equipment: 'Equipment',
    mains: 'Boards, ways and isolators',
    cable: 'Cable',
    cutting: 'Cutting list',
    small: 'Small material',
    tools: 'Tools and test instruments',
  },
  equipmentUnknown: 'not described in the site',
  mainsAbout:
    'As far as stated. The licensed electrician who designs and connects the mains circuits decides what is ordered.',
  mainsPart: {
    board: (name: string) => `Board ${name}`,
    way: (name: string) => `Protective device of way ${name}`,
    isolator: (name: string, on: string) => `Isolator ${name} on ${on}`,
    lockable: 'lockable',
    curve: (curve: string) => `curve ${curve}`,
    threePhase: 'three-phase',
  },
  cableAbout: (percent: Quantity, least: Quantity): Phrase =>
    say`The length to cut is the length of the run and ${percent} more, at least ${least} more, rounded up to half a metre (common practice). A run that just fits a reel takes the whole reel.`,
  cablesWithoutType: 'Cables whose type is not stated',
  noType: 'type not stated',
  noReel: 'no reel stated: order by the metre',
  cuttingAbout:
    'Reels are cut so that no run is joined. Cut in this order; mark each piece with its cable at both ends before it leaves the reel.',
  reelCaption: (type: string) => `Reels of ${type}`,
  tooLong: (run: string, length: Quantity): Phrase =>
    say`${run} needs ${length}, which is longer than a reel: order it in one length, or plan a joint box as a device of its own.`,
  unmeasured: (runs: string): string => `Measure before ordering: ${runs}.`,
  small: {
    terminator: 'Terminating resistor',
    cover: 'Insulating cover for exposed live terminals',
    ferrule: (colour: string) => `Ferrule with plastic collar, ${colour}`,
    ferruleUnknown: 'Ferrule or other end sleeve',
    gland: (cable: string) => `Cable gland or entry seal for ${cable}`,
    label: 'Label for a core end',
  },
  smallNotes: {
    terminator: 'Not built into the device.',
    cover: 'As the equipment asks; finger-safe (IPXXB).',
    ferrule: 'Where two conductors share a terminal, a twin ferrule if the terminal takes it.',
    classAssumed: 'Conductor class not stated on some cables: fine-stranded assumed.',
    gland:
      'One for each cable end. Size it by the diameter of the cable; a wall box with a grommet takes none.',
    label: 'Both ends of every core, spare cores and screens too.',
  },
  ferruleSource: (source: string): string =>
    `Colours of ferrules: ${source}. Other colour series exist: go by the size.`,
  tools: {
    voltage: 'Two-pole voltage tester for the highest voltage on site, and a proving unit for it',
    locks: 'Personal padlocks, lock-off devices and tags, one set for each person',
    multimeter: 'Multimeter that reads millivolts DC and ohms to one decimal',
    insulation:
      'Insulation tester, set to a voltage that the cables and what is connected may take',
    crimp: 'Crimping tool and ferrules for the sizes listed above',
    stripper: 'Wire stripper and cable knife for the sizes listed above',
    torque: 'Insulated torque screwdriver, set to the figures of the equipment',
    laptop: 'Laptop with a wired network socket, set as the IP plan says',
    networkTester: 'Network cable tester',
    covers: 'Insulating sheet or covers for live parts nearby',
    printer: 'Label printer with sleeves for the core sizes listed above',
  },
} as const;
