/** Which texts this language reads: packages say which of its versions they need. */

/** Major: texts that were right became wrong. Minor: new words, everything old stays right. */
export const LANGUAGE_VERSION = '1.0';

/** Whether texts written for a version ("1.0") can be read; undefined where that is no version. */
export function readsLanguage(needed: string, own = LANGUAGE_VERSION): boolean | undefined {
  const [major, minor] = partsOf(needed) ?? [];
  const [ownMajor, ownMinor] = partsOf(own) ?? [];
  return major === undefined || minor === undefined || ownMinor === undefined
    ? undefined
    : major === ownMajor && minor <= ownMinor;
}

function partsOf(version: string): readonly [number, number] | undefined {
  const match = /^(\d{1,4})\.(\d{1,4})$/u.exec(version);
  return match === null ? undefined : [Number(match[1]), Number(match[2])];
}
