/** Everything the page itself says. Titles, names and findings are the server's. */
export const texts = {
  toolbar: 'Zoom',
  zoomIn: { face: '+', name: 'Zoom in', keys: '+' },
  zoomOut: { face: '−', name: 'Zoom out', keys: '-' },
  actualSize: { face: '1:1', name: 'Actual size', keys: '1' },
  fit: { face: 'Fit', name: 'Show the whole drawing', keys: '0' },
  stageHelp:
    'Arrow keys walk from device to device, Page Up and Page Down from floor to floor, E to the next finding. Enter opens the text.',
  stageRole: 'drawing',
  loading: 'Drawing…',
  nothing: 'There is nothing to draw yet.',
  unreadable: 'The picture could not be read.',
  findings: (count: number) => (count === 1 ? '1 finding' : `${count} findings`),
  finding: (number: number, severity: string, message: string) =>
    `${number}, ${severity}: ${message}`,
};
