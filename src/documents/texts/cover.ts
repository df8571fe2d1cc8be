/** Words of the cover. */
import { say } from '../document.js';
import type { Phrase, Quantity } from '../document.js';

export const coverTexts = {
  title: (site: string): string => `Job pack: ${site}`,
  documentType: 'Job pack',
  fields: {
    owner: 'Owner',
    title: 'Title',
    drawing: 'Drawing number',
    revision: 'Revision',
    issued: 'Date of issue',
    creator: 'Creator',
    approved: 'Approved by',
    type: 'Document type',
    status: 'Status',
    checkedOn: 'Checked on',
    phase: 'Covers',
  },
  phases: { all: 'the whole site, existing things marked', new: 'the new part of the work' },
  forbidden:
    'NOT FOR CONSTRUCTION. The site has errors, listed below. Do not build, order or energise anything from this pack.',
  preliminary:
    'Preliminary: to be checked and approved by a competent person before work starts. It counts as approved when the site states who approved it and when it was issued.',
  sections: {
    index: 'Index',
    drawings: 'Drawings',
    changes: 'Changes since the last revision',
    cautions: 'Cautions',
    findings: 'Findings',
    waivers: 'Accepted findings',
    sureness: 'How sure the numbers are',
  },
  drawingTitle: (name: string): string =>
    name.startsWith('terminals-')
      ? `Terminals of ${name.slice('terminals-'.length)}`
      : name === 'ip'
        ? 'IP addresses'
        : `${name.slice(0, 1).toUpperCase()}${name.slice(1)}`,
  notCompared:
    'Not compared: no earlier revision was at hand. Compare this pack with the one in use before work goes on.',
  noDrawings: 'No drawings were handed over with this pack.',
  findingsNone: 'No errors and no warnings.',
  columns: {
    severity: 'severity',
    rule: 'rule',
    subject: 'subject',
    message: 'what, why, what to do',
    because: 'accepted because',
    until: 'until',
    document: 'document',
    published: 'published',
    stated: 'stated',
    computed: 'computed',
    estimated: 'estimated',
    assumed: 'assumed',
    measured: 'measured',
    kind: 'kind',
    findings: 'findings',
  },
  severities: {
    error: 'errors',
    warning: 'warnings',
    hint: 'hints',
    waived: 'accepted',
  },
  withoutReason: 'no reason stated',
  withoutEnd: 'no date',
  surenessAbout:
    'Numbers in the documents of this pack, by how they are known. What is estimated must be measured before cutting or ordering; what is assumed must be checked against the equipment.',
  surenessTotal: (estimated: Quantity, assumed: Quantity): Phrase =>
    say`Together: ${estimated} numbers are estimated, ${assumed} are assumed.`,
  cautions: [
    'Isolate every source, lock it, prove dead before touching a terminal. The order of work says how, step by step.',
    'A controller, a command or an interlock is never an isolation.',
    'Cover exposed live terminals. Keep extra-low voltage and bus cables apart from mains.',
    'Work on mains circuits is for licensed people only.',
    'The law and codes of the place and the instructions of the equipment come first.',
    'The results of this pack are computed from a model. A competent person checks them before anything is built.',
  ],
} as const;
