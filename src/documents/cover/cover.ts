/** The cover: title block, what the pack may be used for, index, cautions, findings, how sure the numbers are. */
import { messageOf } from '../../model/finding.js';
import type { Finding, Severity } from '../../model/finding.js';
import type { Site } from '../../model/site.js';
import {
  blank,
  caution,
  count,
  danger,
  list,
  numberColumn,
  paragraph,
  phraseOf,
  quantitiesOf,
  tableOf,
  textColumn,
} from '../document.js';
import type { Block, Document, DocumentLink, Frame, Mark, Section } from '../document.js';
import type { Phase } from '../schedule/connection-rows.js';
import { coverTexts as texts } from '../texts/cover.js';

/** What the cover says that is not in the site. */
export interface CoverContent {
  readonly frame: Frame;
  readonly findings: readonly Finding[];
  readonly phase: Phase;
  /** The other documents of the pack with their paths, in order. */
  readonly documents: readonly { readonly document: Document; readonly link: DocumentLink }[];
  readonly drawings: readonly { readonly path: string; readonly title: string }[];
  /** What changed since the revision before; left out where nobody compared. */
  readonly changes?: readonly Block[] | undefined;
}

export function cover(site: Site, content: CoverContent): Document {
  const { frame, findings } = content;
  return {
    id: 'cover',
    title: texts.title(frame.site),
    orientation: 'portrait',
    introduction: [
      ...statusBlocks(frame, site),
      { kind: 'fields', fields: titleBlock(site, content) },
    ],
    sections: [
      {
        heading: texts.sections.index,
        blocks: [{ kind: 'links', links: content.documents.map(({ link }) => link) }],
      },
      drawingsSection(content),
      {
        heading: texts.sections.changes,
        blocks: content.changes ?? [paragraph(texts.notCompared)],
      },
      { heading: texts.sections.cautions, blocks: [list(texts.cautions)] },
      findingsSection(findings),
      ...waiversSection(findings),
      surenessSection(content),
    ],
  };
}

const { columns: headings } = texts;

function statusBlocks(frame: Frame, site: Site): readonly Block[] {
  if (frame.forbidsWork) {
    return [danger(texts.forbidden)];
  }
  const { approved, issued } = site.settings ?? {};
  return approved !== undefined && issued !== undefined ? [] : [caution(texts.preliminary)];
}

/** The fields of a title block by ISO 7200, as far as the site states them. */
function titleBlock(site: Site, { frame, phase }: CoverContent) {
  const { settings } = site;
  const { fields } = texts;
  const rows: readonly (readonly [string, string | undefined])[] = [
    [fields.owner, settings?.owner],
    [fields.title, settings?.title ?? settings?.name],
    [fields.drawing, settings?.drawing],
    [fields.revision, settings?.revision],
    [fields.issued, settings?.issued],
    [fields.creator, settings?.creator],
    [fields.approved, settings?.approved],
    [fields.type, texts.documentType],
    [fields.phase, texts.phases[phase]],
    [fields.status, frame.status],
    [fields.checkedOn, frame.checkedOn],
  ];
  return rows.map(([label, content]) => ({
    label,
    content: content === undefined || content === '' ? blank : phraseOf(content),
  }));
}

function drawingsSection({ drawings }: CoverContent): Section {
  const links = drawings.map((drawing): DocumentLink => ({ ...drawing, about: [] }));
  return {
    heading: texts.sections.drawings,
    blocks: links.length === 0 ? [paragraph(texts.noDrawings)] : [{ kind: 'links', links }],
  };
}

const SEVERITIES: readonly Severity[] = ['error', 'warning', 'hint'];

function findingsSection(findings: readonly Finding[]): Section {
  const open = findings.filter((finding) => finding.waived === null);
  const counts = [
    ...SEVERITIES.map((severity) => ({
      kind: texts.severities[severity],
      pieces: open.filter((finding) => finding.severity === severity).length,
    })),
    { kind: texts.severities.waived, pieces: findings.length - open.length },
  ];
  const listed = SEVERITIES.flatMap((severity) =>
    open.filter((finding) => finding.severity === severity),
  );
  return {
    heading: texts.sections.findings,
    blocks: [
      tableOf<(typeof counts)[number]>(
        'findings-count',
        '',
        [
          textColumn(headings.kind, ({ kind }) => kind),
          numberColumn(headings.findings, '', ({ pieces }) => count(pieces)),
        ],
        counts,
      ),
      listed.length === 0
        ? paragraph(texts.findingsNone)
        : tableOf<Finding>(
            'findings',
            '',
            [
              textColumn(headings.severity, (finding) => finding.severity),
              textColumn(headings.rule, (finding) => finding.rule),
              textColumn(headings.subject, (finding) => finding.subject),
              textColumn(headings.message, messageOf),
            ],
            listed,
          ),
    ],
  };
}

function waiversSection(findings: readonly Finding[]): readonly Section[] {
  const waived = findings.filter((finding) => finding.waived !== null);
  return waived.length === 0
    ? []
    : [
        {
          heading: texts.sections.waivers,
          blocks: [
            tableOf<Finding>(
              'findings-accepted',
              '',
              [
                textColumn(headings.rule, (finding) => finding.rule),
                textColumn(headings.subject, (finding) => finding.subject),
                textColumn(headings.message, (finding) => finding.what),
                textColumn(headings.because, ({ waived: waiver }) =>
                  waiver === null || waiver.because === '' ? texts.withoutReason : waiver.because,
                ),
                textColumn(
                  headings.until,
                  ({ waived: waiver }) => waiver?.until ?? texts.withoutEnd,
                ),
              ],
              waived,
            ),
          ],
        },
      ];
}

const MARKS: readonly Mark[] = [
  'stated',
  'computed',
  'estimated',
  'assumed',
  'measured',
  'published',
];

function surenessSection({ documents }: CoverContent): Section {
  const rows = documents.map(({ document }) => {
    const marks = quantitiesOf(document).map((quantity) => quantity.mark);
    return {
      title: document.title,
      times: new Map(MARKS.map((mark) => [mark, marks.filter((one) => one === mark).length])),
    };
  });
  const total = (mark: Mark) =>
    count(rows.reduce((sum, { times }) => sum + (times.get(mark) ?? 0), 0));
  return {
    heading: texts.sections.sureness,
    blocks: [
      paragraph(texts.surenessAbout),
      paragraph(texts.surenessTotal(total('estimated'), total('assumed'))),
      tableOf<(typeof rows)[number]>(
        'sureness',
        '',
        [
          textColumn(headings.document, ({ title }) => title),
          ...MARKS.map((mark) =>
            numberColumn<(typeof rows)[number]>(headings[mark], '', ({ times }) =>
              count(times.get(mark) ?? 0),
            ),
          ),
        ],
        rows,
      ),
    ],
  };
}
