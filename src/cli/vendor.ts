/** `ferrule vendor`: copies of the packages beside the site, and whether they are still what was copied. */
import { existsSync, mkdirSync, readdirSync, renameSync, rmSync } from 'node:fs';
import path from 'node:path';
import { ferruleFilesBelow, kindAt, nameOf, nodeFiles, readText } from '../disk/node-files.js';
import { reasonOf } from '../disk/reason.js';
import type { Files } from '../workbench/files.js';
import type { UsedPackage } from '../workbench/package-walk.js';
import {
  alterationsOf,
  copyOf,
  unopened,
  VENDOR_FOLDER,
  vendorPlace,
} from '../workbench/vendoring.js';
import { Workbench } from '../workbench/workbench.js';
import { CannotRun } from './cannot-run.js';
import type { Run } from './command.js';
import type { Host } from './host.js';
import { openOneSite, pathIn } from './places.js';
import { sharingTexts } from './texts-sharing.js';
import { besideOf, clearAway, writeSynced } from './write.js';

export const run: Run = (host, args) => {
  const place = pathIn(args, sharingTexts.vendor);
  const { root } = openOneSite(host, place);
  const isVendored = (file: string) => file.split('/').includes(VENDOR_FOLDER);
  const isInstalled = (file: string) => file.split('/').includes('node_modules');
  const files = nodeFiles({ base: host.folder, places: [place] });
  if (args.flags.has('check')) {
    return checkCopies(host, files, root);
  }
  const installed = opened(hiding(files, isVendored), root);
  if (installed.packages.length === 0) {
    host.print(sharingTexts.nothingToCopy);
    return 0;
  }
  const folder = vendorPlace(files, root, installed.packages);
  const copies = copiesOf(host, installed.packages);
  // Tried before it is written: what was copied must be enough, without anything installed.
  opened(
    withTexts(
      hiding(files, (file) => isInstalled(file) || isVendored(file)),
      folder,
      copies,
    ),
    root,
  );
  const replaced = alterationsOf(files, folder, inFolder(host, folder));
  const strange = replaced.filter(({ kind }) => kind === 'added');
  if (strange.length > 0) {
    throw new CannotRun(
      sharingTexts.strangeInVendor(
        folder,
        strange.map(({ file }) => file),
      ),
    );
  }
  writeFolder(path.resolve(host.folder, folder), folder, copies);
  replaced.forEach(({ file, what }) => {
    host.remark(sharingTexts.replacedCopy(file, what));
  });
  host.print(sharingTexts.copied(folder, installed.packages.length, copies.size - 1));
  return 0;
};

function checkCopies(host: Host, files: Files, root: string): 0 | 1 {
  const { open } = openSite(files, root);
  const used = open.packages;
  const folder = vendorPlace(files, root, used);
  const altered = alterationsOf(files, folder, inFolder(host, folder));
  altered.forEach(({ file, what }) => {
    host.print(sharingTexts.alteredCopy(file, what));
  });
  const elsewhere = used.filter(({ manifestPath }) => !manifestPath.startsWith(`${folder}/`));
  elsewhere.forEach(({ name, manifestPath }) => {
    host.print(sharingTexts.notCopied(name, manifestPath));
  });
  if (altered.length + elsewhere.length > 0) {
    return 1;
  }
  host.print(sharingTexts.copiesRight(used.length));
  return 0;
}

function openSite(files: Files, root: string) {
  const workbench = new Workbench(files);
  const open = workbench.open(root);
  if ('failed' in open) {
    throw new CannotRun(sharingTexts.unreadableSite(root));
  }
  return { workbench, open };
}

/** A site whose files are all there; where one is missing it is said which. */
function opened(files: Files, root: string) {
  const { open } = openSite(files, root);
  const problems = unopened(open);
  if (problems.length > 0) {
    throw new CannotRun(problems.join('\n'));
  }
  return open;
}

/** The files of packages by their path in the folder of copies, with the list of them. */
function copiesOf(host: Host, packages: readonly UsedPackage[]): ReadonlyMap<string, string> {
  const texts = new Map<string, string>();
  for (const { name, manifestPath } of packages) {
    const folder = path.dirname(path.resolve(host.folder, manifestPath));
    const licenses = readdirSync(folder).filter((file) => /^(?:licen[cs]e|notice)/iu.test(file));
    const sources = ferruleFilesBelow(folder).map((file) => nameOf(folder, file));
    for (const file of ['package.json', ...licenses, ...sources]) {
      const content = readText(path.join(folder, file));
      if (content.kind !== 'text') {
        throw new CannotRun(sharingTexts.unreadablePart(name, file));
      }
      texts.set(`${name}/${file}`, content.text);
    }
  }
  return copyOf(texts, packages);
}

function hiding(files: Files, isHidden: (path: string) => boolean): Files {
  return {
    ...files,
    read: (file) => (isHidden(file) ? { kind: 'missing' } : files.read(file)),
  };
}

function withTexts(files: Files, folder: string, texts: ReadonlyMap<string, string>): Files {
  return {
    ...files,
    read: (file) => {
      const inside = file.startsWith(`${folder}/`) ? file.slice(folder.length + 1) : undefined;
      const text = inside === undefined ? undefined : texts.get(inside);
      return text === undefined ? files.read(file) : { kind: 'text', text };
    },
    real: (file) => (file.startsWith(`${folder}/`) ? file : (files.real?.(file) ?? file)),
  };
}

/** Everything that stands in a folder, relative to it with `/`. */
function inFolder(host: Host, folder: string): readonly string[] {
  const absolute = path.resolve(host.folder, folder);
  if (kindAt(absolute) !== 'folder') {
    return [];
  }
  return readdirSync(absolute, { withFileTypes: true, recursive: true })
    .filter((entry) => !entry.isDirectory())
    .map((entry) => nameOf(absolute, path.join(entry.parentPath, entry.name)))
    .sort();
}

function writeFolder(target: string, shown: string, texts: ReadonlyMap<string, string>): void {
  const fresh = besideOf(target);
  const old = `${fresh}-old`;
  try {
    for (const [file, text] of texts) {
      const place = path.join(fresh, ...file.split('/'));
      mkdirSync(path.dirname(place), { recursive: true });
      writeSynced(place, text);
    }
    if (existsSync(target)) {
      renameSync(target, old);
    }
    renameSync(fresh, target);
    rmSync(old, { recursive: true, force: true });
  } catch (error) {
    if (!existsSync(target) && existsSync(old)) {
      renameSync(old, target);
    }
    clearAway(fresh);
    throw new CannotRun(sharingTexts.unwritableFolder(shown, reasonOf(error)));
  }
}
