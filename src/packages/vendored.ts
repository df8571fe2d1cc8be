/** Copies of packages that a site keeps beside itself, and whether they are still what was copied. */
import { sha512 } from '@noble/hashes/sha2.js';
import { utf8ToBytes } from '@noble/hashes/utils.js';
import { isObject, parsed } from './manifest.js';

/** The folder of the copies, beside the site. */
export const VENDOR_FOLDER = 'ferrule-vendor';

/** The list of what was copied, in that folder. */
export const INTEGRITY_FILE = 'integrity.json';

/** The copied files by their path in the folder, each with its hash. */
export interface Integrity {
  readonly packages: Readonly<Record<string, string>>;
  readonly files: Readonly<Record<string, string>>;
}

/** A file in a folder of copies. */
export interface VendoredPath {
  /** The list of that folder. */
  readonly list: string;
  /** The file's path in it. */
  readonly inside: string;
}

/** Undefined where a path lies in no folder of copies. */
export function vendoredPath(path: string): VendoredPath | undefined {
  const steps = `/${VENDOR_FOLDER}/`;
  const at = `/${path}`.lastIndexOf(steps);
  if (at < 0) {
    return undefined;
  }
  const folderEnd = at + steps.length - 1;
  return { list: path.slice(0, folderEnd) + INTEGRITY_FILE, inside: path.slice(folderEnd) };
}

/** The hash of a text in UTF-8, written as package managers write it: `sha512-` and base64. */
export function integrityOf(text: string): string {
  return `sha512-${base64(sha512(utf8ToBytes(text)))}`;
}

/** Undefined where the text is no such list. */
export function readIntegrity(text: string): Integrity | undefined {
  const json = parsed(text);
  if (!isObject(json) || !isTextMap(json.files) || !isTextMap(json.packages)) {
    return undefined;
  }
  return { packages: json.packages, files: json.files };
}

export function writeIntegrity({ packages, files }: Integrity): string {
  const ordered = (map: Readonly<Record<string, string>>) =>
    Object.fromEntries(Object.entries(map).sort(([one], [other]) => (one < other ? -1 : 1)));
  const value = { schemaVersion: 1, packages: ordered(packages), files: ordered(files) };
  return `${JSON.stringify(value, undefined, 2)}\n`;
}

/** What is wrong with a copied file; completes "The copy of … ". Undefined where nothing is. */
export function alteration(
  list: string | undefined,
  inside: string,
  text: string,
): string | undefined {
  const integrity = list === undefined ? undefined : readIntegrity(list);
  if (integrity === undefined) {
    return `has no list of what was copied (${INTEGRITY_FILE}), so it cannot be trusted`;
  }
  const expected = Object.hasOwn(integrity.files, inside) ? integrity.files[inside] : undefined;
  if (expected === undefined) {
    return 'was not there when the packages were copied';
  }
  return expected === integrityOf(text) ? undefined : 'was changed since it was copied';
}

function isTextMap(value: unknown): value is Readonly<Record<string, string>> {
  return isObject(value) && Object.values(value).every((one) => typeof one === 'string');
}

function base64(bytes: Uint8Array): string {
  const letters = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/';
  let text = '';
  for (let at = 0; at < bytes.length; at += 3) {
    const [one = 0, two = 0, three = 0] = bytes.subarray(at, at + 3);
    const bits = (one << 16) | (two << 8) | three;
    const left = bytes.length - at;
    text +=
      letters[bits >> 18]! +
      letters[(bits >> 12) & 63]! +
      (left > 1 ? letters[(bits >> 6) & 63]! : '=') +
      (left > 2 ? letters[bits & 63]! : '=');
  }
  return text;
}
