/** A further thread of `ferrule check`: judges one site after another, as it is asked. */
import { parentPort, workerData } from 'node:worker_threads';
import { nodeFiles } from '../disk/node-files.js';
import { Workbench } from '../workbench/workbench.js';
import { checkRoot, type ThreadTask } from './check-roots.js';

export function answerChecks(): void {
  const { folder, places, on } = workerData as ThreadTask;
  const workbench = new Workbench(nodeFiles({ base: folder, places }));
  parentPort?.on('message', ({ index, root }: { index: number; root: string }) => {
    const answer = checkRoot(workbench, root, on);
    workbench.close(root);
    parentPort?.postMessage({ index, answer });
  });
}
