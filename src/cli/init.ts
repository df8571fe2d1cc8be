/** `ferrule init`: a new site to start from. */
import { existsSync } from 'node:fs';
import path from 'node:path';
import { kindAt, nameOf } from '../disk/node-files.js';
import { newSite } from '../workbench/new-site.js';
import { CannotRun } from './cannot-run.js';
import type { Run } from './command.js';
import { pathIn } from './places.js';
import { sharingTexts } from './texts-sharing.js';
import { clearAway, writeFileWhole } from './write.js';

export const run: Run = (host, args) => {
  const shown = pathIn(args, sharingTexts.init);
  const folder = path.resolve(host.folder, shown);
  if (kindAt(folder) === 'file') {
    throw new CannotRun(sharingTexts.dirIsFile(shown));
  }
  const files = newSite(path.basename(folder));
  const there = files.filter((file) => existsSync(path.join(folder, file.path)));
  if (there.length > 0) {
    const names = there.map((file) => file.path);
    throw new CannotRun(sharingTexts.alreadyThere(shown, names.slice(0, mostNamed)));
  }
  const written: string[] = [];
  try {
    for (const file of files) {
      const target = path.join(folder, ...file.path.split('/'));
      writeFileWhole(target, nameOf(host.folder, target), file.text);
      written.push(target);
    }
  } catch (error) {
    written.forEach(clearAway);
    throw error;
  }
  host.print(sharingTexts.made(nameOf(host.folder, written.at(-1)!), written.length));
  return 0;
};

const mostNamed = 3;
