import {
  type Disposable,
  EventEmitter,
  Range,
  ThemeIcon,
  type TreeDataProvider,
  TreeItem,
  TreeItemCollapsibleState,
  Uri,
} from 'vscode';
import type { AreaProgress, CommissioningTask } from '../../../server/protocol.js';
import { texts } from '../../texts.js';

type Node =
  | { readonly kind: 'area'; readonly area: AreaProgress }
  | { readonly kind: 'task'; readonly task: CommissioningTask };

const ICONS = { found: 'pass-filled', missing: 'error', open: 'circle-large-outline' } as const;
/** What differs comes first, then what is next, then what is done. */
const ORDER = ['missing', 'open', 'found'] as const;

/** Areas with their tasks. */
export class TaskTree implements TreeDataProvider<Node>, Disposable {
  private readonly changed = new EventEmitter<void>();
  readonly onDidChangeTreeData = this.changed.event;
  private areas: readonly AreaProgress[] = [];

  show(areas: readonly AreaProgress[]): void {
    this.areas = areas;
    this.changed.fire();
  }

  getChildren(node?: Node): Node[] {
    if (node === undefined) {
      return this.areas.map((area) => ({ kind: 'area', area }));
    }
    return node.kind === 'task'
      ? []
      : ORDER.flatMap((state) =>
          node.area.tasks
            .filter((task) => task.state === state)
            .map((task): Node => ({ kind: 'task', task })),
        );
  }

  getTreeItem(node: Node): TreeItem {
    return node.kind === 'area' ? areaItem(node.area) : taskItem(node.task);
  }

  dispose(): void {
    this.changed.dispose();
  }
}

function areaItem({ title, tasks }: AreaProgress): TreeItem {
  const found = tasks.filter(({ state }) => state === 'found').length;
  const isDone = found === tasks.length;
  const item = new TreeItem(
    title ?? texts.noArea(),
    isDone ? TreeItemCollapsibleState.Collapsed : TreeItemCollapsibleState.Expanded,
  );
  item.id = `area ${title ?? ''}`;
  item.description = texts.seenOf(found, tasks.length);
  return item;
}

function taskItem({ text, state, uri, range }: CommissioningTask): TreeItem {
  const item = new TreeItem(text);
  item.iconPath = new ThemeIcon(ICONS[state]);
  item.description = texts.taskState(state);
  if (uri !== undefined && range !== undefined) {
    const { line, character } = range.start;
    item.command = {
      command: 'vscode.open',
      title: texts.openText(),
      arguments: [Uri.parse(uri), { selection: new Range(line, character, line, character) }],
    };
  }
  return item;
}
