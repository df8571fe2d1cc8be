/** The words that reports add to what findings and facts say themselves. */
import type { WaivedBy } from '../model/finding.js';
import { formatNumber } from '../model/quantity.js';
import type { Counts } from './order.js';

export const texts = {
  /** As it is written after "accept". */
  ruleOn: (rule: string, subject: string) => (subject === '' ? rule : `${rule} on ${subject}`),
  see: (place: string, message: string) => `see ${place} ${message}`,
  accepted: ({ because, until, upTo }: WaivedBy) =>
    [
      'accepted',
      ...(upTo === null ? [] : [`up to ${formatNumber(upTo.value)} ${upTo.unit}`]),
      ...(until === null ? [] : [`until ${until}`]),
      `because "${because}"`,
    ].join(' '),
  counts: ({ error, warning, hint, accepted }: Counts) =>
    [
      counted(error, 'error'),
      counted(warning, 'warning'),
      counted(hint, 'hint'),
      ...(accepted === 0 ? [] : [`${accepted} accepted`]),
    ].join(', '),
  checked: (counts: string, files: number, on: string) =>
    `${counts} in ${counted(files, 'file')}, judged for ${on}`,
  noFindings: 'No findings',
  notShown: (count: number) =>
    `${count} more ${count === 1 ? 'finding is' : 'findings are'} not shown as annotations; the log of "ferrule check" has all.`,
  noFacts: 'Nothing is computed here: there is no bus, feed, board, device or network yet.',
  unknown: 'unknown',
  needs: (line: string) => `would be known with: ${line}`,
  limit: (limit: string) => `limit ${limit}`,
  margin: (percent: string) => `margin ${percent} %`,
  none: 'none',
  formula: 'Formula',
  terms: 'Terms',
  basis: 'Basis',
  source: 'Source',
} as const;

export function counted(count: number, noun: string): string {
  return `${count} ${noun}${count === 1 ? '' : 's'}`;
}
