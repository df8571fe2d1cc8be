import { SymbolKind, type CallHierarchyItem } from 'vscode-languageserver';
import { cursorAt, targetAt } from '../../workbench/editing/cursor.js';
import {
  hierarchyItem,
  incoming,
  outgoing,
  type HierarchyItem,
  type HierarchyStep,
} from '../../workbench/editing/hierarchy.js';
import type { OpenSite } from '../../workbench/open-site.js';
import type { Session } from '../session.js';

/** What feeds what, and what finds what, as the editor's call hierarchy. */
export function hierarchy(session: Session): void {
  const { callHierarchy } = session.connection.languages;

  callHierarchy.onPrepare(({ textDocument, position }): CallHierarchyItem[] => {
    const at = session.at(textDocument.uri, position);
    const cursor = at && cursorAt(at.checked.open, at.file.path, at.offset);
    const target = at && cursor && targetAt(at.checked.open, cursor);
    const item = at && target && hierarchyItem(at.checked.open, target.place.declaration);
    return item === undefined ? [] : [itemOf(item)];
  });
  callHierarchy.onOutgoingCalls(({ item }) => {
    const open = openOf(session, item.uri);
    return open === undefined
      ? []
      : outgoing(open, item.name).map((step) => ({
          to: stepItem(step),
          fromRanges: [item.selectionRange],
        }));
  });
  callHierarchy.onIncomingCalls(({ item }) => {
    const open = openOf(session, item.uri);
    return open === undefined
      ? []
      : incoming(open, item.name).map((step) => ({
          from: stepItem(step),
          fromRanges: [step.to.at.range],
        }));
  });
}

function openOf(session: Session, uri: string): OpenSite | undefined {
  return session.siteOf(uri)?.open;
}

function stepItem({ to, how }: HierarchyStep): CallHierarchyItem {
  return { ...itemOf(to), detail: how };
}

function itemOf({ name, detail, at }: HierarchyItem): CallHierarchyItem {
  return {
    name,
    kind: SymbolKind.Object,
    detail,
    uri: at.file,
    range: at.range,
    selectionRange: at.range,
  };
}
