/** From the paths that a person typed to the sites that they mean. */
import path from 'node:path';
import { kindAt, nodeFiles } from '../disk/node-files.js';
import { countsOf } from '../report/order.js';
import type { FileContent, Files } from '../workbench/files.js';
import type { OpenSite } from '../workbench/open-site.js';
import { Workbench } from '../workbench/workbench.js';
import type { CheckedSite } from '../workbench/workbench.js';
import type { Arguments } from './arguments.js';
import { CannotRun } from './cannot-run.js';
import type { Command } from './command.js';
import type { Host } from './host.js';
import { texts } from './texts.js';

export interface OpenPlaces {
  readonly workbench: Workbench;
  /** Every `.ferrule` file at the places, by name. */
  readonly files: readonly string[];
  /** The files that sites are opened by, in a stable order, each once. */
  readonly roots: readonly string[];
}

/**
 * Opens files and folders. A file means the sites that use it, as far as they stand at one of the
 * places, or itself; a folder means every site in it, and the files in it that none of them uses.
 */
export function openPlaces(host: Host, places: readonly string[]): OpenPlaces {
  const files = filesAt(host, places);
  const workbench = new Workbench(nodeFiles({ base: host.folder, places }));
  for (const file of files) {
    const content = workbench.read(file);
    if (content.kind !== 'text') {
      throw new CannotRun(whyUnread(file, content));
    }
  }
  return { workbench, files, roots: workbench.roots() };
}

/** Every `.ferrule` file at the places, by name; a place that does not exist cannot be run on. */
export function filesAt(host: Host, places: readonly string[]): readonly string[] {
  for (const place of places) {
    const kind = kindAt(path.resolve(host.folder, place));
    if (kind === 'missing' || place === '') {
      throw new CannotRun(texts.nothingThere(place));
    }
    if (kind === 'folder' && listAt(host, [place]).length === 0) {
      throw new CannotRun(texts.noFilesIn(place));
    }
  }
  return listAt(host, places);
}

export interface OneSite {
  readonly workbench: Workbench;
  readonly root: string;
  readonly open: OpenSite;
}

/** Opens the one site that a path means. */
export function openOneSite(host: Host, place: string): OneSite {
  filesAt(host, [place]);
  const files = nodeFiles({ base: host.folder, places: [place] });
  return openOneSiteOf(files, place, kindAt(path.resolve(host.folder, place)));
}

/** Opens the one site that a path means among files of any kind, which list what stands there. */
export function openOneSiteOf(
  files: Files,
  place: string,
  kind: ReturnType<typeof kindAt>,
): OneSite {
  const workbench = new Workbench(files);
  const [first] = files.list();
  const root = kind === 'folder' ? onlySite(place, workbench.siteRoots()) : first!;
  const open = workbench.open(root);
  if ('failed' in open) {
    throw new CannotRun(whyUnread(root, open.failed));
  }
  return { workbench, root, open };
}

/** Opens the one site that a path means, and judges it on a day. */
export function checkOneSite(host: Host, place: string, on: string): CheckedSite {
  return checkOpened(openOneSite(host, place), on);
}

/** Judges a site that was opened. */
export function checkOpened({ workbench, root }: OneSite, on: string): CheckedSite {
  const checked = workbench.check(root, on);
  if (checked === undefined) {
    throw new CannotRun(whyUnread(root, workbench.read(root)));
  }
  return checked;
}

/** Says beside a result that the site it was made from is not right. */
export function remarkErrors(host: Host, { findings }: CheckedSite): void {
  const { error } = countsOf(findings);
  if (error > 0) {
    host.remark(texts.withErrors(error));
  }
}

/** The paths that a command was given: at least one. */
export function pathsIn(args: Arguments, command: Pick<Command, 'usage'>): readonly string[] {
  if (args.positionals.length === 0) {
    throw new CannotRun(texts.missingPath(command.usage));
  }
  return args.positionals;
}

/** The path that a command was given: exactly one. */
export function pathIn(args: Arguments, command: Pick<Command, 'usage'>): string {
  const [first, second] = pathsIn(args, command);
  if (second !== undefined) {
    throw new CannotRun(texts.tooMany(second, command.usage));
  }
  return first!;
}

function listAt(host: Host, places: readonly string[]): readonly string[] {
  return nodeFiles({ base: host.folder, places }).list();
}

function onlySite(place: string, roots: readonly string[]): string {
  if (roots.length === 0) {
    throw new CannotRun(texts.noSiteIn(place));
  }
  if (roots.length > 1) {
    throw new CannotRun(texts.severalSitesIn(place, roots));
  }
  return roots[0]!;
}

/** Why a file that had to be read could not be. */
function whyUnread(file: string, content: FileContent): string {
  switch (content.kind) {
    case 'folder':
      return texts.isFolder(file);
    case 'unreadable':
      return texts.unreadable(file, content.why);
    case 'missing':
    case 'text':
      return texts.nothingThere(file);
  }
}
