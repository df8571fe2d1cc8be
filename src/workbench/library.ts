/** A library as whoever uses it sees it: what its package.json and its entry files bring. */
import { isTemplateRecord } from '../documents/templates/template-facts.js';
import { readManifest } from '../packages/manifest.js';
import type { LibraryInterface } from '../packages/release/compare.js';
import type { Files } from './files.js';
import { Workbench } from './workbench.js';

export {
  claimsEnough,
  leastStep,
  leastVersion,
  reasonsBetween,
  type Reason,
} from '../packages/release/compare.js';

export type LibraryReading =
  | { readonly kind: 'read'; readonly name: string; readonly library: LibraryInterface }
  /** `why` completes "… cannot be read: …". */
  | { readonly kind: 'refused'; readonly why: string };

/** `sources`: the library's own `.ferrule` files, relative to its folder. */
export function readLibrary(
  files: Files,
  folder: string,
  sources: readonly string[],
): LibraryReading {
  const content = files.read(`${folder}/package.json`);
  if (content.kind !== 'text') {
    return { kind: 'refused', why: 'it has no package.json' };
  }
  const reading = readManifest(content.text);
  if (reading.kind === 'refused') {
    return { kind: 'refused', why: reading.why };
  }
  const { manifest } = reading;
  // A file that nobody has: it uses every entry, as a site with the bare name does.
  const root = `${folder}/ferrule-entries`;
  const text = manifest.entries.map((entry) => `use "./${entry.replace(/^\.\//u, '')}"\n`).join('');
  const workbench = new Workbench({
    ...files,
    read: (path) => (path === root ? { kind: 'text', text } : files.read(path)),
  });
  const open = workbench.open(root);
  if ('failed' in open) {
    return { kind: 'refused', why: 'its entry files cannot be opened' };
  }
  const own = open.files.filter(({ path }) => path.startsWith(`${folder}/`));
  const lost = own.flatMap((file) => file.pieces).flatMap(({ lowered }) => lowered.problems)[0];
  const missing = open.opening.find(({ rule }) => rule.startsWith('import-'));
  if (lost !== undefined || missing !== undefined) {
    return { kind: 'refused', why: lost?.what ?? missing?.what ?? '' };
  }
  const templates = own
    .flatMap((file) => file.pieces)
    .flatMap(({ lowered }) => lowered.declarations.map(({ record }) => record))
    .filter(isTemplateRecord);
  const { version, language } = manifest;
  return {
    kind: 'read',
    name: manifest.name,
    library: { version, language, templates, files: [...sources].sort() },
  };
}
