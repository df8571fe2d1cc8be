import { CompletionItemKind, type CompletionList } from 'vscode-languageserver';
import { expectedAfter, statementKeywords } from '../../language/expect.js';
import { completionAt, type Offer } from '../../workbench/editing/completion.js';
import { rangeIn, type Session } from '../session.js';

const kinds: Readonly<Record<Offer['kind'], CompletionItemKind>> = {
  keyword: CompletionItemKind.Keyword,
  name: CompletionItemKind.Reference,
  member: CompletionItemKind.Field,
  value: CompletionItemKind.EnumMember,
  address: CompletionItemKind.Value,
  unit: CompletionItemKind.Unit,
};

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
    });
    const range = rangeIn(file, result.start, result.end);
    return {
      isIncomplete: result.cut,
      items: result.offers.map((offer, index) => ({
        label: offer.text,
        kind: kinds[offer.kind],
        detail: offer.detail,
        sortText: String(index).padStart(4, '0'),
        filterText: offer.text,
        textEdit: { range, newText: offer.text },
      })),
    };
  });
}
