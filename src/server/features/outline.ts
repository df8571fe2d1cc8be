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

function symbolOf(item: OutlineItem): DocumentSymbol {
  return {
    name: item.name,
    kind: symbolKinds[item.kind],
    detail: item.detail,
    range: item.range,
    selectionRange: item.nameRange,
    children: item.children.map(symbolOf),
  };
}
