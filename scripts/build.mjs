// Bundles the four programs into dist/: extension host, server, webviews and command line.
import { rm } from 'node:fs/promises';
import esbuild from 'esbuild';
import { commandLine, extensionHost, server, webviews } from './lib/bundles.mjs';
import { inProject } from './lib/root.mjs';

const watching = process.argv.includes('--watch');

/** While somebody debugs, the bundles stay readable and lead back to the sources. */
/** @type {import('esbuild').BuildOptions} */
const readable = { minifySyntax: false, minifyWhitespace: false, sourcemap: 'linked' };

console.log('Building dist/');
await rm(inProject('dist'), { recursive: true, force: true });
for (const options of [extensionHost, server, await webviews(), commandLine]) {
  if (watching) {
    await (await esbuild.context({ ...options, ...readable })).watch();
  } else {
    await esbuild.build(options);
  }
}
if (watching) {
  console.log('Watching for changes');
}
