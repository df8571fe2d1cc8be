/** Judges many sites: a few in this thread, more of them on all cores. */
import { availableParallelism } from 'node:os';
import { Worker } from 'node:worker_threads';
import type { CheckedSite, Workbench } from '../workbench/workbench.js';
import type { Host } from './host.js';
import { portfolioTexts } from './texts-portfolio.js';

export interface CheckedRoots {
  readonly findings: CheckedSite['findings'];
  /** Every file that was judged, each once. */
  readonly files: ReadonlySet<string>;
}

/** What a thread is told once. */
export interface ThreadTask {
  readonly folder: string;
  readonly places: readonly string[];
  readonly on: string;
}

/** What a thread answers for one root. */
export interface RootAnswer {
  readonly findings: CheckedSite['findings'];
  readonly files: readonly string[];
}

/** Fewer sites are judged sooner than a thread has started. */
const FEWEST_FOR_THREADS = 40;
/** The progress is told this many times. */
const PROGRESS_STEPS = 10;

export async function checkRoots(
  host: Host,
  workbench: Workbench,
  roots: readonly string[],
  task: ThreadTask,
): Promise<CheckedRoots> {
  if (roots.length < FEWEST_FOR_THREADS) {
    return gathered(roots.map((root) => checkRoot(workbench, root, task.on)));
  }
  return gathered(await inThreads(host, roots, task));
}

/** A root that cannot be opened any more has nothing to say; that it could be was seen before. */
export function checkRoot(workbench: Workbench, root: string, on: string): RootAnswer {
  const checked = workbench.check(root, on);
  return checked === undefined
    ? { findings: [], files: [] }
    : { findings: checked.findings, files: checked.open.files.map(({ path }) => path) };
}

async function inThreads(
  host: Host,
  roots: readonly string[],
  task: ThreadTask,
): Promise<readonly RootAnswer[]> {
  const answers: RootAnswer[] = [];
  let next = 0;
  let done = 0;
  const runThread = () =>
    new Promise<void>((resolve, reject) => {
      const thread = new Worker(host.program, { workerData: task });
      const ask = () => {
        if (next < roots.length) {
          thread.postMessage({ index: next, root: roots[next] });
          next += 1;
        } else {
          resolve();
          void thread.terminate();
        }
      };
      thread.on('message', ({ index, answer }: { index: number; answer: RootAnswer }) => {
        answers[index] = answer;
        done += 1;
        if (
          Math.floor((done * PROGRESS_STEPS) / roots.length) >
          Math.floor(((done - 1) * PROGRESS_STEPS) / roots.length)
        ) {
          host.remark(portfolioTexts.progress(done, roots.length));
        }
        ask();
      });
      thread.on('error', reject);
      // A thread that ends early, out of memory for one, must not leave the others' result as the whole.
      thread.on('exit', () => {
        reject(new Error('a thread ended before its work was done'));
      });
      ask();
    });
  const threads = Math.max(1, Math.min(availableParallelism(), roots.length));
  await Promise.all(Array.from({ length: threads }, runThread));
  return answers;
}

function gathered(answers: readonly RootAnswer[]): CheckedRoots {
  return {
    findings: answers.flatMap(({ findings }) => findings),
    files: new Set(answers.flatMap(({ files }) => files)),
  };
}
