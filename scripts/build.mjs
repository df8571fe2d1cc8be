// Bundles the four programs into dist/: extension host, server, webviews and command line.
import { chmod, readFile, readdir, rm, writeFile } from 'node:fs/promises';
import { existsSync } from 'node:fs';
import esbuild from 'esbuild';
import { inProject, root } from './lib/root.mjs';

const watching = process.argv.includes('--watch');

/** @type {import('esbuild').BuildOptions} */
const shared = {
  absWorkingDir: root,
  bundle: true,
  minify: !watching,
  // Stack traces in a log stay readable after minifying, and langium finds its services by class name.
  keepNames: true,
  sourcemap: watching ? 'linked' : false,
  legalComments: 'none',
  logLevel: 'warning',
  target: 'es2022',
};

/** @type {import('esbuild').BuildOptions} */
const onNode = {
  ...shared,
  platform: 'node',
  target: 'node20',
  mainFields: ['module', 'main'],
  define: { FERRULE_VERSION: JSON.stringify(await version()) },
};

/** VS Code up to 1.100 loads an extension's main file as CommonJS. */
/** @type {import('esbuild').BuildOptions} */
const extensionHost = {
  ...onNode,
  entryPoints: ['src/extension/main.ts'],
  outfile: 'dist/extension/main.cjs',
  format: 'cjs',
  external: ['vscode'],
};

/** @type {import('esbuild').BuildOptions} */
const server = {
  ...onNode,
  entryPoints: ['src/server/main.node.ts'],
  outfile: 'dist/server/main.cjs',
  format: 'cjs',
};

/** @type {import('esbuild').BuildOptions} */
const commandLine = {
  ...onNode,
  entryPoints: ['src/cli/main.ts'],
  outfile: 'dist/cli/ferrule.js',
  format: 'esm',
  // Bundled CommonJS libraries call require for modules of Node, which an ES module lacks.
  banner: {
    js: "import { createRequire as ferruleRequire } from 'node:module'; const require = ferruleRequire(import.meta.url);",
  },
  plugins: [{ name: 'executable', setup: (build) => build.onEnd(makeExecutable) }],
};

/** Each feature with a webview keeps its page's code in src/extension/features/<feature>/webview/main.ts. */
/** @returns {Promise<import('esbuild').BuildOptions>} */
async function webviews() {
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

console.log('Building dist/');
await rm(inProject('dist'), { recursive: true, force: true });
for (const options of [extensionHost, server, await webviews(), commandLine]) {
  if (watching) {
    await (await esbuild.context(options)).watch();
  } else {
    await esbuild.build(options);
  }
}
if (watching) {
  console.log('Watching for changes');
}

async function version() {
  return JSON.parse(await readFile(inProject('package.json'), 'utf8')).version;
}

async function makeExecutable() {
  const file = inProject('dist', 'cli', 'ferrule.js');
  const text = await readFile(file, 'utf8');
  if (!text.startsWith('#!')) {
    await writeFile(file, `#!/usr/bin/env node\n${text}`);
  }
  await chmod(file, 0o755);
}
