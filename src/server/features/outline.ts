import { SymbolKind, type DocumentSymbol } from 'vscode-languageserver';
import { outlineOf, type OutlineItem } from '../../workbench/editing/outline.js';
import type { Session } from '../session.js';

export const symbolKinds: Readonly<Record<OutlineItem['kind'], SymbolKind>> = {
  use: SymbolKind.Module,
  site: SymbolKind.Package,
  bustype: SymbolKind.Interface,
  cable: SymbolKind.Struct,
  equipment: SymbolKind.Class,
  assembly: SymbolKind.Class,
  area: SymbolKind.Namespace,
  board: SymbolKind.Object,
  isolator: SymbolKind.Operator,
  device: SymbolKind.Object,
  instance: SymbolKind.Object,
  bus: SymbolKind.Array,
  feed: SymbolKind.Event,
  containment: SymbolKind.Package,
  network: SymbolKind.Namespace,
  zone: SymbolKind.Enum,
  accept: SymbolKind.Key,
  observed: SymbolKind.Constant,
  port: SymbolKind.Interface,
  inlet: SymbolKind.Property,
  outlet: SymbolKind.Event,
  lan: SymbolKind.Interface,
  way: SymbolKind.Event,
  room: SymbolKind.Field,
  landing: SymbolKind.EnumMember,
  host: SymbolKind.Variable,
};

export function outline(session: Session): void {
  session.connection.onDocumentSymbol(({ textDocument }): DocumentSymbol[] => {
    const file = session
      .siteOf(textDocument.uri)
      ?.open.files.find((one) => one.path === textDocument.uri);
    return file === undefined ? [] : outlineOf(file).map(symbolOf);
  });
}

/** An item that is the same as before says the same. */
const kept = new WeakMap<OutlineItem, DocumentSymbol>();

function symbolOf(item: OutlineItem): DocumentSymbol {
  let symbol = kept.get(item);
  if (symbol === undefined) {
    symbol = madeOf(item);
    kept.set(item, symbol);
  }
  return symbol;
}

function madeOf(item: OutlineItem): DocumentSymbol {
  return {
    name: item.name,
    kind: symbolKinds[item.kind],
    detail: item.detail,
    range: item.range,
    selectionRange: item.nameRange,
    children: item.children.map(symbolOf),
  };
}
