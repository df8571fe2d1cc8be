/**
 * From `use "@team/equipment"` to files: a resolver of our own that reads and never runs anything.
 *
 * It goes up from the folder of the using file, as Node does, and looks in `ferrule-vendor` before
 * `node_modules`: a copy that was kept for the site is what the site was proved with.
 */
import { LANGUAGE_VERSION, readsLanguage } from './language-version.js';
import { isInside, readManifest, type Manifest } from './manifest.js';
import { VENDOR_FOLDER } from './vendored.js';

/** What the resolver needs of files; the workbench's files have it. */
export interface PackageFiles {
  /** The text of a file; undefined where none can be read. */
  readonly text: (path: string) => string | undefined;
  /** A relative path seen from a file. */
  readonly resolve: (from: string, use: string) => string;
  /** The path behind links: a linked package finds its own packages where it really stands. */
  readonly real: (path: string) => string;
}

/** What a `use` line with a package asks for. */
export interface PackageUse {
  readonly name: string;
  /** A file in the package; undefined where the line names the package alone. */
  readonly file: string | undefined;
}

export interface FoundPackage {
  readonly kind: 'found';
  readonly manifest: Manifest;
  /** Its package.json, behind links. */
  readonly manifestPath: string;
  /** The files that the line brings. */
  readonly paths: readonly string[];
}

export type PackageResolution =
  | FoundPackage
  | { readonly kind: 'missing'; readonly name: string }
  /** `why` completes "… cannot be read: …". */
  | { readonly kind: 'refused'; readonly name: string; readonly why: string }
  | {
      readonly kind: 'language';
      readonly name: string;
      readonly version: string;
      readonly needs: string;
      readonly reads: string;
    };

/** Splits what stands in a `use` line; undefined where it can be no package. */
export function packageUse(path: string): PackageUse | undefined {
  const match = /^((?:@[a-z0-9~-][a-z0-9._~-]*\/)?[a-z0-9~-][a-z0-9._~-]*)(?:\/(.+))?$/u.exec(path);
  return match === null ? undefined : { name: match[1]!, file: match[2] };
}

export function resolvePackage(
  files: PackageFiles,
  from: string,
  use: PackageUse,
): PackageResolution {
  const { name } = use;
  for (const candidate of candidates(files, from, name)) {
    const text = files.text(candidate);
    if (text === undefined) {
      continue;
    }
    const reading = readManifest(text);
    if (reading.kind === 'refused') {
      return { kind: 'refused', name, why: reading.why };
    }
    const { manifest } = reading;
    if (manifest.language !== undefined && readsLanguage(manifest.language) !== true) {
      return {
        kind: 'language',
        name,
        version: manifest.version,
        needs: manifest.language,
        reads: LANGUAGE_VERSION,
      };
    }
    if (use.file !== undefined && !isInside(use.file)) {
      return { kind: 'refused', name, why: `"${use.file}" is no .ferrule file of the package` };
    }
    const manifestPath = files.real(candidate);
    return {
      kind: 'found',
      manifest,
      manifestPath,
      paths: pathsOf(files, manifestPath, manifest, use),
    };
  }
  return { kind: 'missing', name };
}

/** The files that a line brings from a package whose place is known. */
export function pathsOf(
  files: Pick<PackageFiles, 'resolve'>,
  manifestPath: string,
  manifest: Manifest,
  use: PackageUse,
): readonly string[] {
  const inside = use.file === undefined ? manifest.entries : [use.file];
  return inside.map((entry) => files.resolve(manifestPath, `./${entry}`));
}

/** Where a package's package.json may stand, nearest first. */
export function* candidates(
  files: Pick<PackageFiles, 'resolve'>,
  from: string,
  name: string,
): Generator<string> {
  let last = '';
  for (let level = 0; level < mostLevels; level++) {
    const up = './' + '../'.repeat(level);
    const installed = files.resolve(from, `${up}node_modules/${name}/package.json`);
    if (installed === last) {
      return;
    }
    last = installed;
    yield files.resolve(from, `${up}${VENDOR_FOLDER}/${name}/package.json`);
    yield installed;
  }
}

/** Deeper folders than this are not gone up: relative names of files in memory have no top. */
const mostLevels = 40;
