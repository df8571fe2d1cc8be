/** Words of the terminal test sheets. */
export const testingTexts = {
  title: 'Terminal test sheets',
  about:
    'Terminal by terminal, enclosure by enclosure in the order of the walk. Dead, locked and proved dead before a cover comes off (order of work).',
  rules: [
    'Tighten to the figure of the equipment and write it down; pull on every core.',
    'Test continuity with both ends off their terminals, insulation only with the electronics unplugged and at a voltage that the cables may take.',
    'A terminal that holds more conductors than it takes is left open and reported.',
  ],
  nothing: 'No terminal of this site holds a conductor.',
  mains: 'Mains: licensed electrician.',
  columns: {
    device: 'device',
    strip: 'strip',
    terminal: 'terminal',
    wire: 'wire number',
    lands: 'what lands here, and where it comes from',
    conductors: 'conductors',
    takes: 'takes',
    landed: 'landed',
    pulled: 'pulled on',
    torque: 'tightened to N·m',
    continuity: 'continuity ohm',
    insulation: 'insulation Mohm',
    initials: 'initials',
    work: 'work',
    note: 'note',
  },
  screen: 'screen',
  coreNotStated: 'core not stated',
  caption: (owner: string, place: string): string => `${owner}, ${place}`,
  coreOf: (core: string, cable: string, other: string): string => `${core} of ${cable} (${other})`,
} as const;
