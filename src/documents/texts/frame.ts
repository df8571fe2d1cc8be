/** Words that stand on every document. */
import type { Mark } from '../document.js';

export const frameTexts = {
  drawing: (number: string): string => (number === '' ? '' : `Drawing ${number}`),
  revision: (revision: string): string => (revision === '' ? '' : `Revision ${revision}`),
  checkedOn: (date: string): string => `Checked on ${date}`,
  noteWord: 'Note',
  cautionWord: { danger: 'DANGER', caution: 'CAUTION' },
  /** Stands where a hand writes. */
  line: '',
  nothing: 'None.',
  marks: (meanings: readonly string[]): string =>
    `How each number is known: ${meanings.join(', ')}.`,
  markMeaning: {
    stated: 'stated in the site',
    estimated: 'estimated from the positions of the rooms',
    assumed: 'assumed, not stated',
    computed: 'computed or counted from what is stated',
    measured: 'measured',
    published: 'from a published standard',
  } satisfies Record<Mark, string>,

  status: {
    forbidden: 'NOT FOR CONSTRUCTION',
    preliminary: 'Preliminary, to be approved by a competent person',
    approved: (by: string, on: string): string => `Approved by ${by}, issued ${on}`,
  },
  reservations: [
    'Drawn from the model of the site. To be checked and approved by a competent person before work starts; the law and codes of the place and the instructions of the equipment come first.',
    'Mains circuits are documented as far as they are stated. Their design, connection and testing are deferred to a licensed electrician.',
  ],
  existing: 'existing',
} as const;
