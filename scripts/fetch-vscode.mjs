// Puts the server and web workbench of VS Code 1.100.3 into .vscode-test/, from a package that carries
// them for Node 20. Its wrapper, install scripts and compiled add-ons are not used.
import { createHash } from 'node:crypto';
import { existsSync } from 'node:fs';
import {
  mkdir,
  mkdtemp,
  readFile,
  readdir,
  rename,
  rm,
  symlink,
  writeFile,
} from 'node:fs/promises';
import { execFileSync } from 'node:child_process';
import path from 'node:path';
import { inProject } from './lib/root.mjs';

const release = {
  package: 'code-server@4.100.3',
  sha512:
    'q/Fh2DOxCRNhC/WiG/6sAhSKnj7ZACTVBaeeZ+rWjol//0FCbl/qg1ln5ecZ99jYcfqMxZZAyWcN+YBIo0DgpA==',
};

const home = inProject('.vscode-test');
const editor = path.join(home, 'vscode');
const stamp = path.join(editor, '.complete');

if (existsSync(stamp) && (await readFile(stamp, 'utf8')) === release.sha512) {
  process.exit();
}

await mkdir(home, { recursive: true });
await rm(editor, { recursive: true, force: true });
const work = await mkdtemp(path.join(home, 'fetch-'));
try {
  const unpacked = await unpack(await download(work), work);
  installLibraries(unpacked);
  await linkSearchProgram(unpacked);
  await rename(unpacked, editor);
  // Last, so that a fetch that was cut short is done anew.
  await writeFile(stamp, release.sha512);
} finally {
  await rm(work, { recursive: true, force: true });
}

/** @param {string} folder */
async function download(folder) {
  execFileSync('npm', ['pack', release.package, '--silent', '--pack-destination', folder], {
    stdio: ['ignore', 'ignore', 'inherit'],
  });
  const name = (await readdir(folder)).find((each) => each.endsWith('.tgz'));
  if (name === undefined) {
    throw new Error(`npm pack ${release.package} left no archive.`);
  }
  const archive = path.join(folder, name);
  const sha512 = createHash('sha512')
    .update(await readFile(archive))
    .digest('base64');
  if (sha512 !== release.sha512) {
    throw new Error(`${release.package} is not the file that was expected: sha512 ${sha512}.`);
  }
  return archive;
}

/**
 * @param {string} archive
 * @param {string} folder
 */
async function unpack(archive, folder) {
  execFileSync('tar', ['-xzf', archive, '-C', folder, '--exclude', '*.map', 'package/lib/vscode'], {
    stdio: 'inherit',
  });
  return path.join(folder, 'package', 'lib', 'vscode');
}

/**
 * `npm ci` refuses, because the package's own lock file lacks one library.
 * @param {string} folder
 */
function installLibraries(folder) {
  execFileSync(
    'npm',
    ['install', '--omit=dev', '--ignore-scripts', '--no-audit', '--no-fund', '--silent'],
    { cwd: folder, stdio: ['ignore', 'ignore', 'inherit'] },
  );
}

/**
 * Search in files needs ripgrep, which the skipped install scripts would have downloaded.
 * @param {string} folder
 */
async function linkSearchProgram(folder) {
  const bin = path.join(folder, 'node_modules', '@vscode', 'ripgrep', 'bin');
  const program = execFileSync('bash', ['-c', 'command -v rg'], { encoding: 'utf8' }).trim();
  await mkdir(bin, { recursive: true });
  await rm(path.join(bin, 'rg'), { force: true });
  await symlink(program, path.join(bin, 'rg'));
}
