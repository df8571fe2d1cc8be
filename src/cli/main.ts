/** The command line's entry, and that of its further threads: finds the command, runs it, and turns its end into an exit code. */
import { isMainThread } from 'node:worker_threads';
import { readArguments } from './arguments.js';
import { CannotRun } from './cannot-run.js';
import { commands } from './commands.js';
import { commandHelp, overview } from './help.js';
import type { ExitCode, Host } from './host.js';
import { reasonOf } from '../disk/reason.js';
import { nearNames } from '../workbench/near-names.js';
import { texts } from './texts.js';

declare const FERRULE_VERSION: string;

const host: Host = {
  program: new URL(import.meta.url),
  folder: process.cwd(),
  today: localDay(new Date()),
  print: (text) => void process.stdout.write(text),
  remark: (text) => void process.stderr.write(text),
};

// Whoever reads the output may stop early, as `head` does; the rest is not missed then. Output that a
// full disk cut off must not look whole.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code === 'EPIPE') {
    process.exit();
  }
  host.remark(`ferrule: ${texts.outputLost(reasonOf(error))}\n`);
  process.exit(2);
});

if (isMainThread) {
  process.exitCode = await run(process.argv.slice(2));
} else {
  (await import('./check-thread.js')).answerChecks();
}

async function run(words: readonly string[]): Promise<ExitCode> {
  try {
    return await dispatch(words);
  } catch (error) {
    host.remark(`ferrule: ${messageFor(error)}\n`);
    return 2;
  }
}

async function dispatch([first, ...rest]: readonly string[]): Promise<ExitCode> {
  if (first === undefined) {
    host.remark(overview());
    return 2;
  }
  if (first === '--help' || first === '-h' || (first === 'help' && rest.length === 0)) {
    host.print(overview());
    return 0;
  }
  if (first === '--version' || first === '-v') {
    host.print(`${FERRULE_VERSION}\n`);
    return 0;
  }
  const name = first === 'help' ? rest[0] : first;
  const command = commands.find((one) => one.name === name);
  if (command === undefined) {
    const names = commands.map((one) => one.name);
    throw new CannotRun(texts.unknownCommand(name!, nearNames(name!, names, 1)[0]));
  }
  if (first === 'help') {
    host.print(commandHelp(command));
    return 0;
  }
  const args = readArguments(rest, command);
  if (args.flags.has('help')) {
    host.print(commandHelp(command));
    return 0;
  }
  return (await command.load()).run(host, args);
}

/** What a person is told; where the fault is our own, without the trace that only we could read. */
function messageFor(error: unknown): string {
  return error instanceof CannotRun
    ? error.message
    : texts.ownFault(error instanceof Error ? error.message : String(error));
}

function localDay(now: Date): string {
  const two = (number: number) => String(number).padStart(2, '0');
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}
