/** The shape of a command. Its words stand apart from its work, so that help loads no language. */
import type { Arguments, OptionSpec } from './arguments.js';
import type { ExitCode, Host } from './host.js';

export type Run = (host: Host, args: Arguments) => Promise<ExitCode> | ExitCode;

export interface Command {
  readonly name: string;
  /** The arguments as the help shows them. */
  readonly usage: string;
  readonly summary: string;
  /** Further lines of the help. */
  readonly about: readonly string[];
  readonly options: readonly OptionSpec[];
  readonly load: () => Promise<{ readonly run: Run }>;
}
