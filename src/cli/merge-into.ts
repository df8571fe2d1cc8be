/** Merges observations into a file on disk: whole or not at all. */
import path from 'node:path';
import { nameOf, readText } from '../disk/node-files.js';
import { mergeObservations, observationText } from '../workbench/observation-lines.js';
import type { Observation } from '../workbench/observation-lines.js';
import { CannotRun } from './cannot-run.js';
import type { Host } from './host.js';
import type { OneSite } from './places.js';
import { onSiteTexts as texts } from './texts-on-site.js';
import { texts as commonTexts } from './texts.js';
import { writeFileWhole } from './write.js';

export function observationTexts(observations: readonly Observation[]): readonly string[] {
  return observations.map(observationText);
}

/** Writes the file and gives the sentence that says so. A file that is not there yet begins with them. */
export function mergeInto(
  host: Host,
  { open, root }: OneSite,
  file: string,
  observations: readonly Observation[],
): string {
  if (!file.endsWith('.ferrule')) {
    throw new CannotRun(texts.notFerrule(file));
  }
  const target = path.resolve(host.folder, file);
  const content = readText(target);
  if (content.kind === 'folder') {
    throw new CannotRun(commonTexts.isFolder(file));
  }
  if (content.kind === 'unreadable') {
    throw new CannotRun(commonTexts.unreadable(file, content.why));
  }
  const before = content.kind === 'text' ? content.text : '';
  const standing = open.site.observations.map(({ record }) => record);
  const merged = mergeObservations(before, observations, standing);
  if (merged.text !== before) {
    writeFileWhole(target, file, merged.text);
  }
  const isUsed = open.files.some((one) => one.path === nameOf(host.folder, target));
  return (
    texts.mergedInto(file, merged.added.length, merged.known.length) +
    (isUsed ? '' : texts.notUsed(file, root))
  );
}
