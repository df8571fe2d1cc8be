import type { Frame } from '../../src/documents/document.js';

/** A frame for tests that look at a document alone. */
export const plainFrame: Frame = {
  site: 'Site',
  owner: 'Owner',
  drawing: 'D-1',
  revision: 'A',
  checkedOn: '2026-11-25',
  status: 'Preliminary',
  forbidsWork: false,
  reservations: ['Reserved.'],
};
