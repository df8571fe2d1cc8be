import {
  CompletionItemKind,
  CompletionItemTag,
  InsertTextFormat,
  MarkupKind,
  type CompletionItem,
  type CompletionList,
} from 'vscode-languageserver';
import { expectedAfter, statementKeywords } from '../../language/expect.js';
import {
  completionAt,
  hasStops,
  plainText,
  snippetText,
  type Offer,
} from '../../workbench/editing/completion.js';
import { descriptionOf } from '../../workbench/editing/hover.js';
import type { SourceFile } from '../../workbench/source-file.js';
import { otherFiles, rangeIn, type Session } from '../session.js';

const kinds: Readonly<Record<Offer['kind'], CompletionItemKind>> = {
  keyword: CompletionItemKind.Keyword,
  name: CompletionItemKind.Reference,
  member: CompletionItemKind.Field,
  value: CompletionItemKind.EnumMember,
  address: CompletionItemKind.Value,
  unit: CompletionItemKind.Unit,
  statement: CompletionItemKind.Snippet,
};

/** What an item carries so that its description can be made when somebody looks at it. */
interface About {
  readonly uri: string;
  readonly name: string;
}

export function completion(session: Session): void {
  session.connection.onCompletion(({ textDocument, position }): CompletionList => {
    const at = session.at(textDocument.uri, position);
    if (at === undefined) {
      return { isIncomplete: false, items: [] };
    }
    const { checked, file, offset } = at;
    const result = completionAt({
      open: checked.open,
      path: file.path,
      offset,
      expectedAfter,
      statementKeywords,
      stops: session.client.snippets,
      others: otherFiles(session),
    });
    const range = rangeIn(file, result.start, result.end);
    return {
      isIncomplete: result.cut,
      items: result.offers.map((offer, index) => ({
        ...itemOf(offer, file),
        sortText: String(index).padStart(4, '0'),
        textEdit: { range, newText: hasStops(offer) ? snippetText(offer) : plainText(offer) },
        ...(offer.about === undefined ? {} : { data: { uri: file.path, name: offer.about } }),
      })),
    };
  });

  session.connection.onCompletionResolve((item): CompletionItem => {
    const about = item.data as About | undefined;
    const checked = about && session.siteOf(about.uri);
    const text = about && checked && descriptionOf(checked, about.name);
    return text === undefined
      ? item
      : { ...item, documentation: { kind: MarkupKind.Markdown, value: text } };
  });
}

function itemOf(offer: Offer, file: SourceFile): CompletionItem {
  return {
    label: offer.text,
    kind: kinds[offer.kind],
    detail: offer.detail,
    filterText: offer.text,
    insertTextFormat: hasStops(offer) ? InsertTextFormat.Snippet : InsertTextFormat.PlainText,
    labelDetails: {
      ...(offer.detail === '' ? {} : { detail: `  ${offer.detail}` }),
      ...(offer.where === undefined ? {} : { description: offer.where }),
    },
    ...(offer.deprecated === undefined ? {} : { tags: [CompletionItemTag.Deprecated] }),
    ...(offer.also === undefined
      ? {}
      : {
          additionalTextEdits: offer.also.map((change) => ({
            range: rangeIn(file, change.start, change.end),
            newText: change.text,
          })),
        }),
  };
}
