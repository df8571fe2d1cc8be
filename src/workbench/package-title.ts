import { readManifest } from '../packages/manifest.js';

/** A package's name and version for people; empty where a package.json makes none. */
export function packageTitle(manifest: string): string {
  const reading = readManifest(manifest);
  if (reading.kind === 'refused') {
    return '';
  }
  const { name, version, language } = reading.manifest;
  return [`${name} ${version}`, ...(language === undefined ? [] : [`language ${language}`])].join(
    ', ',
  );
}
