/** What a package says about itself in its package.json. Data only: nothing in it is ever run. */
import { readsLanguage } from './language-version.js';

export interface Manifest {
  readonly name: string;
  /** As the package writes it, such as "1.2.0". */
  readonly version: string;
  /** The files that a `use` line with the bare name brings, relative to the package. */
  readonly entries: readonly string[];
  /** The least version of the language that its texts need; undefined where it says none. */
  readonly language: string | undefined;
}

/** `why` completes "… cannot be read: …". */
export type ManifestReading =
  | { readonly kind: 'read'; readonly manifest: Manifest }
  | { readonly kind: 'refused'; readonly why: string };

export function readManifest(text: string): ManifestReading {
  const json = parsed(text);
  if (!isObject(json)) {
    return refused('its package.json is no JSON object');
  }
  const { ferrule } = json;
  if (!isObject(ferrule)) {
    return refused('its package.json has no field "ferrule", so it is no package of templates');
  }
  const entries = typeof ferrule.entry === 'string' ? [ferrule.entry] : ferrule.entry;
  if (!isTexts(entries) || entries.length === 0) {
    return refused('the field "ferrule" of its package.json names no entry file ("entry")');
  }
  const outside = entries.find((entry) => !isInside(entry));
  if (outside !== undefined) {
    return refused(`its entry "${outside}" is no .ferrule file of the package itself`);
  }
  const { language } = ferrule;
  if (
    language !== undefined &&
    (typeof language !== 'string' || readsLanguage(language) === undefined)
  ) {
    return refused('the language version that it needs ("language") is not written like "1.0"');
  }
  return {
    kind: 'read',
    manifest: {
      name: typeof json.name === 'string' ? json.name : '',
      version: typeof json.version === 'string' ? json.version : '0.0.0',
      entries,
      language,
    },
  };
}

/** Whether a path names a `.ferrule` file that cannot lie outside the folder that it counts from. */
export function isInside(path: string): boolean {
  return (
    path.endsWith('.ferrule') &&
    !/^(?:\/|[a-z][a-z0-9+.-]*:)|\\/iu.test(path) &&
    !path.split('/').includes('..')
  );
}

export function parsed(text: string): unknown {
  try {
    return JSON.parse(text) as unknown;
  } catch {
    return undefined;
  }
}

export function isObject(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

function isTexts(value: unknown): value is readonly string[] {
  return Array.isArray(value) && value.every((one) => typeof one === 'string');
}

function refused(why: string): ManifestReading {
  return { kind: 'refused', why };
}
