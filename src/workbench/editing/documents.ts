/** Pages that no file holds: the manual of a rule, the calculation behind a value. */
import { explainedFactText } from '../../report/facts-text.js';
import { plain } from '../../report/style.js';
import type { OpenSite } from '../open-site.js';
import { explainedFact } from '../outputs.js';
import { rulePage } from '../rule-pages.js';

export const documentScheme = 'ferrule-doc';

/** The URI of a rule's page. */
export function ruleDocument(rule: string): string {
  return `${documentScheme}:/rule/${encodeURIComponent(rule)}.md`;
}

/** The URI of the calculation behind a value of a site, such as `field-1.total-length`. */
export function valueDocument(root: string, value: string): string {
  return `${documentScheme}:/value/${encodeURIComponent(value)}.md?${encodeURIComponent(root)}`;
}

export type DocumentName =
  | { readonly kind: 'rule'; readonly rule: string }
  | { readonly kind: 'value'; readonly value: string; readonly root: string };

/** What a URI of this scheme names; undefined for any other. */
export function documentName(uri: string): DocumentName | undefined {
  const [, kind, name, root] =
    new RegExp(`^${documentScheme}:/+(rule|value)/([^?#]+?)\\.md(?:\\?([^#]*))?$`, 'u').exec(uri) ??
    [];
  try {
    if (kind === 'rule' && name !== undefined) {
      return { kind, rule: decodeURIComponent(name) };
    }
    if (kind === 'value' && name !== undefined && root !== undefined) {
      return { kind, value: decodeURIComponent(name), root: decodeURIComponent(root) };
    }
  } catch {
    return undefined;
  }
  return undefined;
}

/** A rule's page as Markdown. */
export function ruleDocumentText(rule: string): string | undefined {
  return rulePage(rule);
}

/** A value with formula, terms and source, as Markdown. */
export function valueDocumentText(open: OpenSite, value: string): string | undefined {
  const explained = explainedFact(open, value);
  return explained.kind === 'unknown'
    ? undefined
    : `# ${value}\n\n\`\`\`text\n${explainedFactText(explained.fact, explained.formula, plain)}\`\`\`\n`;
}
