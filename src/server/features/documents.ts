/** Serves the pages that no file holds. */
import {
  documentName,
  ruleDocumentText,
  valueDocumentText,
} from '../../workbench/editing/documents.js';
import type { DocumentResult, FerruleRequests } from '../protocol.js';
import type { Session } from '../session.js';

type Params = FerruleRequests['ferrule/document']['params'];

export function documents(session: Session): void {
  session.connection.onRequest('ferrule/document', ({ uri }: Params): DocumentResult => {
    const name = documentName(uri);
    if (name === undefined) {
      return { text: null, problem: 'This address names no page of Ferrule.' };
    }
    if (name.kind === 'rule') {
      const text = ruleDocumentText(name.rule);
      return text === undefined
        ? { text: null, problem: `There is no rule "${name.rule}".` }
        : { text };
    }
    const checked = session.siteOf(name.root);
    const text = checked && valueDocumentText(checked.open, name.value);
    return text === undefined
      ? { text: null, problem: `The site has no value "${name.value}" any more.` }
      : { text };
  });
}
