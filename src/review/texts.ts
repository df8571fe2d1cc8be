/** Words of reviews. */
import type { Review } from './review.js';

const plural = (count: number, one: string, many = `${one}s`) =>
  `${count} ${count === 1 ? one : many}`;

export const texts = {
  title: 'What changed',
  unchanged:
    'Nothing changed on site: wiring, addresses, networks, material and findings are as before.',
  summary: ({ class: strictest, changes, renames, findings }: Review) =>
    `${plural(changes.length, 'change')}${renames.length === 0 ? '' : ` and ${plural(renames.length, 'rename')}`}, strictest class: ${strictest}. Findings: ${findings.fresh.length} new, ${findings.resolved.length} resolved, ${findings.unchanged} unchanged.`,
  classes: {
    safety: 'Safety: isolation, supply, protective devices',
    rewire: 'Rewire',
    readdress: 'Readdress',
    renetwork: 'Networks',
    material: 'Material: cables, lengths',
    budget: 'Budget: limits and what is computed from',
    documentation: 'Documentation',
  },
  renames: 'Renamed',
  rename: (kind: string, before: string, after: string, percent: number) =>
    `${kind} ${before} is now ${after} (${percent} % sure)`,
  added: (what: string) => `${what}: added`,
  removed: (what: string) => `${what}: removed`,
  changed: (what: string, before: string, after: string) => `${what}: ${before} → ${after}`,
  newFindings: 'New findings',
  resolvedFindings: 'Resolved findings',
  finding: (severity: string, rule: string, what: string, accepted: boolean) =>
    `${accepted ? 'accepted' : severity} ${rule}: ${what}`,
  effects: 'What follows',
  none: 'none',
  broken: (limit: string) => ` (limit ${limit}: now broken)`,
  kept: (limit: string) => ` (limit ${limit}: now kept)`,
  because: (causes: readonly string[]) => ` ⇐ ${causes.join(', ')}`,
  material: 'Material to order',
  reelsOf: (name: string) => `reels of ${name}`,
  work: 'Work of the change',
  isolate: (names: readonly string[]) => `Open and lock: ${names.join(', ')}`,
  unlockable: (names: readonly string[]) =>
    `No lockable point outside, or no stated supply: ${names.join(', ')}. Do not start before this is solved.`,
  prove: 'Prove dead at each enclosure before a terminal is touched.',
  boards: (names: readonly string[]) =>
    `Boards for the licensed electrician, under a plan of their own: ${names.join(', ')}`,
  open: (names: readonly string[]) => `Enclosures to open: ${names.join(', ')}`,
  takeAway: (names: readonly string[]) => `To be taken away: ${names.join(', ')}`,
  rooms: (names: readonly string[]) => `Rooms: ${names.join(', ')}`,
  caution:
    'Only competent people open enclosures; the law and codes of the place and the instructions of the equipment come first.',
  leftOut: (lines: number) =>
    `${plural(lines, 'line')} left out to keep within what the host takes; \`ferrule diff\` with the same two versions shows the whole.`,
} as const;
