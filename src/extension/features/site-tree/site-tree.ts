import { Disposable, EventEmitter, type TreeDataProvider, window } from 'vscode';
import type { SiteNode } from '../../../server/protocol.js';
import type { Server } from '../../server.js';
import { fillView } from '../../site-in-hand.js';
import { itemOf } from './node-item.js';

interface Row {
  readonly id: string;
  readonly node: SiteNode;
}

/** The view of a site by areas, buses, supplies and networks, for the site of the active file. */
export function registerSiteTree(server: Server): Disposable {
  const changed = new EventEmitter<void>();
  let groups: readonly SiteNode[] = [];
  const rows: TreeDataProvider<Row> = {
    onDidChangeTreeData: changed.event,
    getChildren: (row) =>
      (row?.node.children ?? groups).map((node) => ({
        id: `${row?.id ?? ''}/${node.kind} ${node.name}`,
        node,
      })),
    getTreeItem: ({ id, node }) => itemOf(node, id),
  };
  const view = window.createTreeView('ferrule.site', {
    treeDataProvider: rows,
    showCollapseAll: true,
  });
  return Disposable.from(
    changed,
    view,
    fillView(view, server, async (uri, isLatest) => {
      const { groups: now } = await server.request('ferrule/siteTree', { uri });
      if (isLatest()) {
        groups = now;
        changed.fire();
      }
    }),
  );
}
