/** The packages that a site's `use` lines name: which files they bring, and what is wrong with them. */
import { NEAR_FILES, raisedFinding } from '../language/validate.js';
import type { Finding } from '../model/finding.js';
import { placeOf } from '../model/origin.js';
import {
  packageUse,
  pathsOf,
  resolvePackage,
  type FoundPackage,
  type PackageFiles,
  type PackageResolution,
} from '../packages/resolve.js';
import { alteration, VENDOR_FOLDER, vendoredPath } from '../packages/vendored.js';
import type { Files } from './files.js';
import type { UseLine } from './opening.js';

/** Whether a file came with a package, so that it is nobody's to change on this site. */
export function isOfPackage(path: string): boolean {
  return path.split('/').some((step) => step === 'node_modules' || step === VENDOR_FOLDER);
}

/** A package that a site uses. */
export interface UsedPackage {
  readonly name: string;
  readonly version: string;
  /** Its package.json, behind links. */
  readonly manifestPath: string;
  /** The files that name it. */
  readonly usedBy: readonly string[];
}

/** The packages of one walk over a site's files. */
export class PackageWalk {
  readonly #files: PackageFiles;
  readonly #taken = new Map<string, { readonly line: UseLine; readonly found: FoundPackage }>();
  readonly #usedBy = new Map<string, Set<string>>();
  readonly #verified = new Set<string>();

  constructor(
    private readonly files: Files,
    private readonly report: (finding: () => Finding) => void,
  ) {
    this.#files = {
      text: (path) => this.#text(path),
      resolve: (from, use) => files.resolve(from, use),
      real: (path) => files.real?.(path) ?? path,
    };
  }

  /** The files that a line brings which names a package; none where it cannot be used. */
  targets(from: string, line: UseLine): readonly string[] {
    const use = packageUse(line.path) ?? { name: line.path, file: undefined };
    const resolution = resolvePackage(this.#files, from, use);
    if (resolution.kind !== 'found') {
      const beside = this.#text(this.files.resolve(from, `./${line.path}`)) !== undefined;
      this.report(() => unresolvedFinding(line, resolution, beside));
      return [];
    }
    this.#verifyManifest(line, resolution);
    this.#usedBy.set(use.name, (this.#usedBy.get(use.name) ?? new Set()).add(from));
    const first = this.#taken.get(use.name);
    if (first === undefined) {
      this.#taken.set(use.name, { line, found: resolution });
      return resolution.paths;
    }
    const { manifest, manifestPath } = first.found;
    if (manifest.version !== resolution.manifest.version) {
      this.report(() => mixedFinding(line, resolution, first));
    }
    // One copy of a package is enough: two would declare each of its templates twice.
    return pathsOf(this.files, manifestPath, manifest, use);
  }

  used(): readonly UsedPackage[] {
    return [...this.#taken]
      .map(([name, { found }]) => ({
        name,
        version: found.manifest.version,
        manifestPath: found.manifestPath,
        usedBy: [...(this.#usedBy.get(name) ?? [])],
      }))
      .sort((one, other) => (one.name < other.name ? -1 : 1));
  }

  /** Says so where a copied file is no longer what was copied. */
  verify(line: UseLine, path: string, text: string): void {
    const copy = vendoredPath(path);
    if (copy === undefined || this.#verified.has(path)) {
      return;
    }
    this.#verified.add(path);
    const what = alteration(this.#text(copy.list), copy.inside, text);
    if (what !== undefined) {
      this.report(() => alteredFinding(line, copy.inside, what));
    }
  }

  #verifyManifest(line: UseLine, { manifestPath }: FoundPackage): void {
    this.verify(line, manifestPath, this.#text(manifestPath) ?? '');
  }

  #text(path: string): string | undefined {
    const content = this.files.read(path);
    return content.kind === 'text' ? content.text : undefined;
  }
}

function unresolvedFinding(
  line: UseLine,
  resolution: Exclude<PackageResolution, FoundPackage>,
  isFileBeside: boolean,
): Finding {
  const at = placeOf(line.id, 'path');
  const why = 'What it declares is unknown to this site.';
  switch (resolution.kind) {
    case 'refused':
      return raisedFinding('package-unreadable', line.path, {
        at,
        what: `The package "${resolution.name}" cannot be read: ${resolution.why}.`,
        why,
        remedy: 'Install a version that is a package of templates, or name another package.',
      });
    case 'language': {
      const { name, version, needs, reads } = resolution;
      return raisedFinding('package-language-unsupported', line.path, {
        at,
        what: `The package "${name}" ${version} needs version ${needs} of the language, and this Ferrule reads ${reads}.`,
        why,
        remedy: `Update Ferrule, or install a version of the package that needs ${reads} or less.`,
      });
    }
    default:
      return {
        ...raisedFinding('package-missing', line.path, {
          at,
          what: `The package "${resolution.name}" is not installed.`,
          why,
          remedy: isFileBeside
            ? `Did you mean the file "./${line.path}"? A path to a file starts with "./" or "../".`
            : packageUse(line.path) === undefined
              ? 'This is no name of a package; a path to a file starts with "./" or "../".'
              : `Run "npm install ${resolution.name}" in the folder of the site.`,
        }),
        facts: isFileBeside ? [{ fact: NEAR_FILES, value: [`./${line.path}`], unit: '' }] : [],
      };
  }
}

function mixedFinding(
  line: UseLine,
  { manifest }: FoundPackage,
  first: { readonly line: UseLine; readonly found: FoundPackage },
): Finding {
  const { name } = manifest;
  const taken = first.found.manifest.version;
  return raisedFinding('package-versions-mixed', line.path, {
    at: placeOf(line.id, 'path'),
    what: `This line means version ${manifest.version} of "${name}", and another line of the site means ${taken}.`,
    why: `Each template would be declared twice, so only ${taken} is read, and what was made for ${manifest.version} may not fit it.`,
    remedy: `Let both use one version; "npm ls ${name}" shows who asks for which.`,
    related: [{ at: placeOf(first.line.id, 'path'), message: `Version ${taken} is used here.` }],
  });
}

function alteredFinding(line: UseLine, inside: string, what: string): Finding {
  return raisedFinding('package-altered', line.path, {
    at: placeOf(line.id, 'path'),
    what: `The copy of "${inside}" in ${VENDOR_FOLDER} ${what}.`,
    why: 'What was proved with the package may not hold for this text.',
    remedy:
      'Bring the copy back from version control, or copy the packages again with "ferrule vendor".',
  });
}
