import { Disposable, EventEmitter, type TreeDataProvider, window } from 'vscode';
import type { SiteNode, SiteTreeParams } from '../../../server/protocol.js';
import type { Server } from '../../server.js';
import { fillView } from '../../site-in-hand.js';
import { itemOf } from './node-item.js';

interface Row {
  readonly id: string;
  readonly node: SiteNode;
}

/**
 * The view of a site by areas, buses, supplies and networks, for the site of the active file. A level
 * is asked for when it is unfolded: what nobody sees is not added up.
 */
export function registerSiteTree(server: Server): Disposable {
  const changed = new EventEmitter<void>();
  let uri: string | undefined;
  const rows: TreeDataProvider<Row> = {
    onDidChangeTreeData: changed.event,
    async getChildren(row) {
      if (uri === undefined) {
        return [];
      }
      const below = row === undefined ? {} : { below: levelOf(row.node) };
      const { nodes } = await server.request('ferrule/siteTree', { uri, ...below });
      return nodes.map((node) => ({ id: `${row?.id ?? ''}/${node.kind} ${node.name}`, node }));
    },
    getTreeItem: ({ id, node }) => itemOf(node, id),
  };
  const view = window.createTreeView('ferrule.site', {
    treeDataProvider: rows,
    showCollapseAll: true,
  });
  return Disposable.from(
    changed,
    view,
    fillView(view, server, (active) => {
      uri = active;
      changed.fire();
      return Promise.resolve();
    }),
  );
}

/** Groups and areas are what can be unfolded. */
function levelOf({ kind, name }: SiteNode): NonNullable<SiteTreeParams['below']> {
  return { kind, name } as NonNullable<SiteTreeParams['below']>;
}
