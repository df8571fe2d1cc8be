// The programs that Ferrule consists of, as esbuild sees them.
import { chmod, readFile, readdir, writeFile } from 'node:fs/promises';
import { existsSync } from 'node:fs';
import path from 'node:path';
import { inProject, root } from './root.mjs';

/** @typedef {import('esbuild').BuildOptions} BuildOptions */

/** @type {BuildOptions} */
const shared = {
  absWorkingDir: root,
  bundle: true,
  // Names stay as they are: stack traces in a log are read by people, and langium finds its services by
  // class name. Shortening them and keeping the long ones beside would name each function anew whenever
  // it is made, which costs a check a sixth of its time.
  minifySyntax: true,
  minifyWhitespace: true,
  legalComments: 'none',
  logLevel: 'warning',
  target: 'es2022',
};

/** @type {BuildOptions} */
const onNode = {
  ...shared,
  platform: 'node',
  target: 'node20',
  mainFields: ['module', 'main'],
  define: { FERRULE_VERSION: JSON.stringify(await version()) },
};

/** VS Code up to 1.100 loads an extension's main file as CommonJS. */
/** @type {BuildOptions} */
export const extensionHost = {
  ...onNode,
  entryPoints: ['src/extension/main.ts'],
  outfile: 'dist/extension/main.cjs',
  format: 'cjs',
  external: ['vscode'],
};

/** @type {BuildOptions} */
export const server = {
  ...onNode,
  entryPoints: ['src/server/main.node.ts'],
  outfile: 'dist/server/main.cjs',
  format: 'cjs',
};

/**
 * A small file that finds the command, and beside it what the commands need, in pieces that are read
 * when a command is run: whoever asks for the version waits for no PDF.
 * @type {BuildOptions}
 */
export const commandLine = {
  ...onNode,
  entryPoints: [{ in: 'src/cli/main.ts', out: 'ferrule' }],
  outdir: 'dist/cli',
  chunkNames: 'parts/[name]-[hash]',
  splitting: true,
  loader: { '.wasm': 'binary' },
  format: 'esm',
  // Bundled CommonJS libraries call require for modules of Node, which an ES module lacks.
  banner: {
    js: "import { createRequire as ferruleRequire } from 'node:module'; const require = ferruleRequire(import.meta.url);",
  },
  plugins: [
    {
      name: 'executable',
      setup: (build) =>
        build.onEnd(() =>
          makeExecutable(path.resolve(root, build.initialOptions.outdir ?? '', 'ferrule.js')),
        ),
    },
  ],
};

/**
 * Each feature with a webview keeps its page's code in src/extension/features/<feature>/webview/main.ts.
 * @returns {Promise<BuildOptions>}
 */
export async function webviews() {
  const folder = 'src/extension/features';
  const features = await readdir(inProject(folder)).catch(() => []);
  const pages = features
    .map((name) => ({ in: `${folder}/${name}/webview/main.ts`, out: name }))
    .filter((page) => existsSync(inProject(page.in)));
  return {
    ...shared,
    entryPoints: pages,
    outdir: 'dist/webview',
    format: 'iife',
    platform: 'browser',
  };
}

async function version() {
  return JSON.parse(await readFile(inProject('package.json'), 'utf8')).version;
}

/** @param {string} file */
async function makeExecutable(file) {
  // A bundle that did not come about has already been reported.
  if (!existsSync(file)) {
    return;
  }
  const text = await readFile(file, 'utf8');
  if (!text.startsWith('#!')) {
    await writeFile(file, `#!/usr/bin/env node\n${text}`);
  }
  await chmod(file, 0o755);
}
