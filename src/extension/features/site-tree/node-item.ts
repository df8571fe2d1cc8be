import {
  MarkdownString,
  Range,
  ThemeColor,
  ThemeIcon,
  TreeItem,
  TreeItemCollapsibleState,
  Uri,
} from 'vscode';
import type { SiteNode } from '../../../server/protocol.js';
import { texts } from '../../texts.js';

const ICONS: Readonly<Record<SiteNode['kind'], string>> = {
  group: 'folder',
  area: 'layers',
  board: 'server-environment',
  bus: 'git-commit',
  device: 'circuit-board',
  feed: 'plug',
  network: 'globe',
};

/** A group, area, bus or device as a row; what is wrong with it stands in its colour and in its words. */
export function itemOf(node: SiteNode, id: string): TreeItem {
  const item = new TreeItem(
    node.kind === 'group' ? texts.treeGroup(node.name) : node.name,
    node.hasChildren ? TreeItemCollapsibleState.Collapsed : TreeItemCollapsibleState.None,
  );
  item.id = id;
  const wrong = texts.findingCount(node.errors, node.warnings);
  item.description = [wrong, node.detail].filter((text) => text !== '').join(' · ');
  item.tooltip = new MarkdownString().appendText(`${node.name}\n${item.description}`);
  item.iconPath = iconOf(node);
  if (node.uri !== undefined && node.range !== undefined) {
    const { line, character } = node.range.start;
    item.command = {
      command: 'vscode.open',
      title: texts.openText(),
      arguments: [Uri.parse(node.uri), { selection: new Range(line, character, line, character) }],
    };
  }
  return item;
}

function iconOf({ kind, errors, warnings }: SiteNode): ThemeIcon {
  if (errors > 0) {
    return new ThemeIcon('error', new ThemeColor('list.errorForeground'));
  }
  return warnings > 0
    ? new ThemeIcon('warning', new ThemeColor('list.warningForeground'))
    : new ThemeIcon(ICONS[kind]);
}
