import { execFile, spawn, type ChildProcess } from 'node:child_process';
import { mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises';
import os from 'node:os';
import path from 'node:path';
import { promisify } from 'node:util';
import { inProject } from '../../../scripts/lib/root.mjs';

/** A running VS Code server with its own data and extensions. */
export interface VsCodeServer {
  readonly port: number;
  /** What the server and its extension host printed so far. */
  output(): string;
  /** Ends the server and what it started, and removes its data. */
  stop(): Promise<void>;
}

/** VS Code's own settings that keep a test quiet: nothing asks, nothing calls home. */
const quietSettings = {
  'security.workspace.trust.enabled': false,
  'telemetry.telemetryLevel': 'off',
  'update.mode': 'none',
  'extensions.autoUpdate': false,
  'extensions.autoCheckUpdates': false,
  'extensions.ignoreRecommendations': true,
  'workbench.enableExperiments': false,
  'workbench.settings.enableNaturalLanguageSearch': false,
  'workbench.startupEditor': 'none',
  'workbench.tips.enabled': false,
  'workbench.colorTheme': 'Default Light Modern',
  'window.commandCenter': false,
  'git.enabled': false,
  'chat.commandCenter.enabled': false,
  'chat.agent.enabled': false,
  'editor.minimap.enabled': false,
  'files.autoSave': 'off',
};

const serverProgram = inProject('.vscode-test', 'vscode', 'out', 'server-main.js');

/**
 * Installs a packaged extension into a fresh VS Code and starts it on a free port.
 * @param extensionFile The path of a `.vsix` file.
 */
export async function startVsCode(extensionFile: string): Promise<VsCodeServer> {
  const data = await mkdtemp(path.join(os.tmpdir(), 'ferrule-vscode-'));
  const userFolder = path.join(data, 'data', 'User');
  await mkdir(userFolder, { recursive: true });
  await writeFile(path.join(userFolder, 'settings.json'), JSON.stringify(quietSettings));
  const folders = ['--server-data-dir', data, '--extensions-dir', path.join(data, 'extensions')];
  await install(extensionFile, folders);

  const server = spawn(
    process.execPath,
    [
      serverProgram,
      ...['--host', '127.0.0.1', '--port', '0', '--without-connection-token'],
      ...['--accept-server-license-terms', '--telemetry-level', 'off'],
      ...folders,
    ],
    // A group of its own, so that the extension hosts that it starts end with it.
    { env: serverEnvironment(), stdio: ['ignore', 'pipe', 'pipe'], detached: true },
  );
  const killWithRunner = () => killGroup(server);
  process.once('exit', killWithRunner);
  let printed = '';
  server.stdout.on('data', (chunk) => (printed += String(chunk)));
  server.stderr.on('data', (chunk) => (printed += String(chunk)));
  const stop = async () => {
    process.off('exit', killWithRunner);
    await endGroup(server);
    await rm(data, { recursive: true, force: true, maxRetries: 5 });
  };
  try {
    return { port: await listening(server, () => printed), output: () => printed, stop };
  } catch (error) {
    await stop();
    throw error;
  }
}

async function install(extensionFile: string, folders: string[]): Promise<void> {
  const { stdout, stderr } = await promisify(execFile)(
    process.execPath,
    [serverProgram, ...folders, '--install-extension', extensionFile, '--force'],
    { env: serverEnvironment() },
  );
  if (!/successfully installed/.test(stdout)) {
    throw new Error(`VS Code did not install ${extensionFile}:\n${stdout}${stderr}`);
  }
}

/** Without a gallery, and without what the test runner sets for Node programs of its own. */
function serverEnvironment(): NodeJS.ProcessEnv {
  const { NODE_OPTIONS: _, ...environment } = process.env;
  return { ...environment, EXTENSIONS_GALLERY: '{}' };
}

/** The port that the server names once it listens. */
async function listening(server: ChildProcess, printed: () => string): Promise<number> {
  const deadline = Date.now() + 30_000;
  while (Date.now() < deadline) {
    const port = /Extension host agent listening on (\d+)/.exec(printed())?.[1];
    if (port !== undefined) {
      return Number(port);
    }
    if (server.exitCode !== null) {
      break;
    }
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
  throw new Error(`VS Code did not start to listen:\n${printed()}`);
}

async function endGroup(server: ChildProcess): Promise<void> {
  if (server.pid === undefined || server.exitCode !== null || server.signalCode !== null) {
    return;
  }
  const ended = new Promise((resolve) => server.once('exit', resolve));
  killGroup(server);
  await ended;
}

function killGroup(server: ChildProcess): void {
  if (server.pid !== undefined && server.exitCode === null && server.signalCode === null) {
    process.kill(-server.pid, 'SIGKILL');
  }
}
