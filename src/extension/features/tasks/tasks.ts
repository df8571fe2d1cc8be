import {
  type Disposable,
  ShellExecution,
  Task,
  type TaskDefinition,
  TaskGroup,
  tasks,
  TaskScope,
  workspace,
} from 'vscode';
import { texts } from '../../texts.js';

interface CheckTask extends TaskDefinition {
  readonly type: 'ferrule';
  /** File or folder to check; the whole folder where left out. */
  readonly path?: string;
}

/**
 * `ferrule check` of a folder as a task, with its findings in the Problems view. The command line is
 * the one that the folder has installed, so a task needs a folder that is trusted.
 */
export function registerTasks(): Disposable {
  return tasks.registerTaskProvider('ferrule', {
    provideTasks: () => (workspace.isTrusted ? [checkTask({ type: 'ferrule' })] : []),
    resolveTask: ({ definition }) => checkTask(definition as CheckTask),
  });
}

function checkTask(definition: CheckTask): Task {
  const task = new Task(
    definition,
    TaskScope.Workspace,
    texts.checkTask(),
    'ferrule',
    new ShellExecution('npx', ['--no-install', 'ferrule', 'check', definition.path ?? '.']),
    '$ferrule',
  );
  task.group = TaskGroup.Test;
  return task;
}
