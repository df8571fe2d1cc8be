/** A template as Markdown: a page of its own, and what a hover says of it. */
import { escaped } from '../render/markdown.js';
import { connectionsOf, propertiesOf, type Template } from './template-facts.js';

export interface TemplatePageInput {
  /** Its declaration as it stands in the text. */
  readonly text: string;
  /** Where it comes from, such as "@team/equipment 1.2.0"; empty where nothing says so. */
  readonly from: string;
  /** The picture's file, relative to the page. */
  readonly picture: string;
}

const KIND_NAMES = {
  bustype: 'Bus type',
  cable: 'Cable',
  equipment: 'Equipment',
  assembly: 'Assembly',
} as const;

/** The whole page; ends with one line feed. */
export function templatePage(
  template: Template,
  { text, from, picture }: TemplatePageInput,
): string {
  const parts = [
    `# ${escaped(template.title ?? template.name)}`,
    [
      `${KIND_NAMES[template.kind]} \`${template.name}\``,
      ...(from === '' ? [] : [escaped(from)]),
    ].join(' · '),
    template.doc === undefined ? '' : escaped(template.doc),
    `![${escaped(template.name)}](${encodeURI(picture)})`,
    templateSummary(template),
    template.kind === 'equipment' && template.cautions.length > 0 ? '## Cautions' : '',
    cautionsOf(template),
    '## As written',
    `\`\`\`ferrule\n${text.trim()}\n\`\`\``,
    'Work on mains circuits is for licensed people only. The law and codes of the place and the instructions of the equipment come first.',
  ];
  return `${parts.filter((part) => part !== '').join('\n\n')}\n`;
}

/** Connections, limits and parameters as tables; the same on the page and in a hover. */
export function templateSummary(template: Template): string {
  const connections = template.kind === 'equipment' ? connectionsOf(template) : [];
  return [
    table(
      ['connection', 'kind', 'terminals', 'what it is'],
      connections.map(({ name, kind, terminals, says }) => [
        name,
        kind,
        terminals.join(', '),
        says,
      ]),
    ),
    table(
      [template.kind === 'equipment' ? 'property' : 'limit or property', 'value'],
      propertiesOf(template).map(({ name, value }) => [name, value]),
    ),
  ]
    .filter((part) => part !== '')
    .join('\n\n');
}

/** The list of all pages of a library. */
export function indexPage(
  title: string,
  templates: readonly { readonly template: Template; readonly page: string }[],
): string {
  const kinds = ['assembly', 'equipment', 'cable', 'bustype'] as const;
  const parts = kinds.flatMap((kind) => {
    const own = templates.filter(({ template }) => template.kind === kind);
    return own.length === 0
      ? []
      : [
          `## ${KIND_NAMES[kind]}`,
          own
            .map(
              ({ template, page }) =>
                `- [${escaped(template.name)}](${encodeURI(page)})${template.title === undefined ? '' : `: ${escaped(template.title)}`}`,
            )
            .join('\n'),
        ];
  });
  return `${[`# ${escaped(title)}`, ...parts].join('\n\n')}\n`;
}

function cautionsOf(template: Template): string {
  return template.kind === 'equipment'
    ? template.cautions.map((caution) => `- ⚠ ${escaped(caution)}`).join('\n')
    : '';
}

function table(head: readonly string[], rows: readonly (readonly string[])[]): string {
  if (rows.length === 0) {
    return '';
  }
  const line = (cells: readonly string[]) => `| ${cells.map(escaped).join(' | ')} |`;
  return [line(head), `|${' --- |'.repeat(head.length)}`, ...rows.map(line)].join('\n');
}
