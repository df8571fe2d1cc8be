/** Short words that several documents share. */
import type { VoltageBand } from '../../analysis/cabling/cables.js';
import type { ScreenTreatment } from '../../analysis/cabling/cores.js';

export const words = {
  existing: 'existing',
  fresh: 'new',
  notStated: 'not stated',
  lengthUnknown: 'unknown',
  placeUnknown: 'place not stated',
  screen: 'screen',
  spare: 'spare',
  none: '',
  yes: 'yes',
  no: 'no',
  seen: 'seen',
  ok: 'ok',
  initials: 'initials',
  date: 'date',
  band: {
    mains: 'mains',
    'extra-low': 'extra-low',
    bus: 'bus',
    network: 'network',
    unknown: 'not stated',
  } satisfies Record<VoltageBand, string>,
  screenTreatment: {
    bonded: 'bonded to earth',
    landed: 'on the screen terminal',
    'carried-through': 'joined to the next screen, insulated',
    insulated: 'cut back and insulated',
  } satisfies Record<ScreenTreatment, string>,
} as const;
