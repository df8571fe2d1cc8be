// What the extension's package holds, and how much: printed, and wrong where it holds what no editor needs.
import { readFile } from 'node:fs/promises';
import { unzipSync } from 'fflate';
import { inProject } from './lib/root.mjs';

const MOST_BYTES = 4 * 1024 * 1024;
/** Folders and files that an editor reads; whatever else is in the package only makes it larger. */
const wanted = [
  /^\[Content_Types\]\.xml$/u,
  /^extension\.vsixmanifest$/u,
  /^extension\/(?:package\.json|package\.nls\.json|readme\.md|changelog\.md|license\.txt|language-configuration\.json)$/iu,
  /^extension\/dist\/(?:extension|server|webview)\/[^/]+\.(?:cjs|js|css)$/u,
  /^extension\/syntaxes\/[^/]+\.json$/u,
  /^extension\/snippets\/[^/]+\.json$/u,
  /^extension\/walkthrough\/[^/]+\.md$/u,
  /^extension\/icons\/[^/]+\.(?:png|svg)$/u,
];

const file = inProject('dist', 'ferrule.vsix');
const archive = await readFile(file);
const entries = Object.entries(unzipSync(archive)).map(([name, bytes]) => ({
  name,
  size: bytes.byteLength,
}));
const unwanted = entries.filter(({ name }) => !wanted.some((pattern) => pattern.test(name)));

for (const { name, size } of entries.sort((one, other) => other.size - one.size)) {
  console.log(`${(size / 1024).toFixed(1).padStart(9)} KiB  ${name}`);
}
console.log(
  `The package: ${(archive.byteLength / 1024 / 1024).toFixed(2)} MiB in ${entries.length} files; ${MOST_BYTES / 1024 / 1024} MiB are allowed.`,
);
if (archive.byteLength > MOST_BYTES) {
  console.error('The package is too large.');
  process.exitCode = 1;
}
if (unwanted.length > 0) {
  console.error(`No editor needs ${unwanted.map(({ name }) => name).join(', ')}.`);
  process.exitCode = 1;
}
