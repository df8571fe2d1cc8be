/** How surely the limits of computed values are known. */
import type { Mark } from '../document.js';

const MARKS: Readonly<Record<string, Mark>> = {
  // The 200 mV of the receivers stand in the published standard.
  'idle-voltage': 'published',
  'far-signal': 'published',
  // One is no opinion: below it there is no operating point.
  'collapse-margin': 'computed',
  // Trip bands are from memory until they are read in the standard.
  'fault-current': 'assumed',
  // Of an inlet from its nominal voltage and tolerance, of a bus from its bus type.
  voltage: 'computed',
};

/** The mark of a value's limit: most limits stand in a bus type, a rating or the site's own line. */
export function limitMark(fact: string): Mark {
  return MARKS[fact] ?? 'stated';
}
