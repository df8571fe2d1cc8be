/** Words of the labels. */
export const labelTexts = {
  title: 'Labels',
  about:
    'Texts for sleeves, cable markers and device plates, in the order of the walk, each enclosure together. The same texts stand in the connection schedule. Label printers take them from the data files.',
  rules: [
    'Each core carries at each end its wire number and the terminal it goes to, so that a wire that has come off can be put back (IEC 62491, local-end connection).',
    'Each cable carries its name at both ends and wherever it passes a wall or leaves a tray.',
    'Device plates carry the name of the drawings and, as far as the names allow, the designation of IEC 81346: + where it stands, - what it is, : the terminal. A hyphen inside a name is kept: it reads as a step down to a part.',
  ],
  notDesignated: (names: string): string =>
    `Names with other signs than letters, digits and hyphens have no designation: ${names}.`,
  sections: {
    devices: 'Devices',
    cables: 'Cables',
    wires: (place: string): string => `Cores at ${place}`,
    none: 'Cores',
  },
  nothing: 'Nothing to label.',
  columns: {
    label: 'label',
    designation: 'designation',
    title: 'what',
    place: 'place',
    at: 'at',
    kind: 'kind',
    cable: 'cable',
    cableType: 'cable type',
    core: 'core',
    size: 'size',
    pieces: 'pieces',
    work: 'work',
  },
} as const;
