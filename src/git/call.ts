/**
 * Calls of git that only read, and that run nothing which a repository's own settings name.
 *
 * A folder that somebody sent may hold settings that start programs: hooks, file system monitors,
 * difference and text converters, transports. Whoever compares two versions of it asked for none.
 */
import { spawnSync } from 'node:child_process';
import path from 'node:path';

export type GitAnswer =
  | { readonly ok: true; readonly out: Buffer }
  /** `why` completes "…: …": git's own sentence, without its prefix. */
  | { readonly ok: false; readonly why: string };

/** Settings that win over those of the repository, the user and the computer. */
const settings = [
  'core.hooksPath=/dev/null',
  'core.fsmonitor=false',
  'core.pager=cat',
  // What a partial clone left out is not fetched behind a person's back.
  'protocol.allow=never',
];

/** More than any site has; output beyond it is an error, never cut. */
const MOST_OUTPUT_BYTES = 2 ** 30;

/**
 * Runs git in a folder without a shell. Paths in `args` are to stand behind `--`, and names of
 * revisions behind `--end-of-options`.
 */
export function callGit(folder: string, args: readonly string[], input = ''): GitAnswer {
  const options = settings.flatMap((setting) => ['-c', setting]);
  const all = ['-C', folder, '--no-pager', '--literal-pathspecs', ...options, ...args];
  const { error, status, stdout, stderr } = spawnSync('git', all, {
    // Where the program is looked for in the current folder first, that folder must not be the site's.
    cwd: path.dirname(process.execPath),
    env: {
      ...process.env,
      LC_ALL: 'C',
      GIT_OPTIONAL_LOCKS: '0',
      GIT_TERMINAL_PROMPT: '0',
      GIT_NO_LAZY_FETCH: '1',
    },
    input,
    maxBuffer: MOST_OUTPUT_BYTES,
    shell: false,
    windowsHide: true,
  });
  if (error !== undefined) {
    const { code } = error as NodeJS.ErrnoException;
    return { ok: false, why: code === 'ENOENT' ? 'git is not installed here' : error.message };
  }
  return status === 0 ? { ok: true, out: stdout } : { ok: false, why: reasonIn(stderr.toString()) };
}

/** The first sentence of what git says, without what could steer a terminal. */
function reasonIn(text: string): string {
  const [line = ''] = text.split('\n');
  const said = line.replace(/^(?:fatal|error): /u, '').replace(/\p{Cc}/gu, ' ');
  return said === '' ? 'git gives no reason' : said.replace(/\.$/u, '');
}
