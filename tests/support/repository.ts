/** Real git repositories in temporary folders, whatever the settings of the computer are. */
import { execFile } from 'node:child_process';
import { mkdir, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { promisify } from 'node:util';

const run = promisify(execFile);

/** Settings of nobody but the test; the dates make the hashes the same each time. */
export const gitEnvironment: NodeJS.ProcessEnv = {
  ...process.env,
  GIT_CONFIG_GLOBAL: '/dev/null',
  GIT_CONFIG_NOSYSTEM: '1',
  GIT_AUTHOR_NAME: 'Tester',
  GIT_AUTHOR_EMAIL: 'tester@example.org',
  GIT_AUTHOR_DATE: '2026-11-25T08:00:00Z',
  GIT_COMMITTER_NAME: 'Tester',
  GIT_COMMITTER_EMAIL: 'tester@example.org',
  GIT_COMMITTER_DATE: '2026-11-25T08:00:00Z',
  GIT_MERGE_AUTOEDIT: 'no',
};

export class Repository {
  private constructor(readonly folder: string) {}

  static async at(folder: string): Promise<Repository> {
    await mkdir(folder, { recursive: true });
    const repository = new Repository(folder);
    await repository.git('init', '--quiet', '--initial-branch=main');
    return repository;
  }

  /** Gives what git prints; fails where git does. */
  async git(...args: string[]): Promise<string> {
    const { stdout } = await run('git', args, { cwd: this.folder, env: gitEnvironment });
    return stdout;
  }

  /** The exit code of git and all that it prints. */
  async tryGit(...args: string[]): Promise<{ readonly code: number; readonly said: string }> {
    try {
      const { stdout, stderr } = await run('git', args, { cwd: this.folder, env: gitEnvironment });
      return { code: 0, said: stdout + stderr };
    } catch (error) {
      const { code, stdout, stderr } = error as { code: number; stdout: string; stderr: string };
      return { code, said: stdout + stderr };
    }
  }

  async write(name: string, text: string | Uint8Array): Promise<void> {
    const file = path.join(this.folder, name);
    await mkdir(path.dirname(file), { recursive: true });
    await writeFile(file, text);
  }

  /** Commits everything as it stands. */
  async commit(message: string): Promise<void> {
    await this.git('add', '--all');
    await this.git('commit', '--quiet', '--allow-empty', '-m', message);
  }
}
