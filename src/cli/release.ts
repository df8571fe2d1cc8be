/** `ferrule release`: how far a library's version must step, and why. */
import path from 'node:path';
import { ferruleFilesBelow, kindAt, nameOf, nodeFiles } from '../disk/node-files.js';
import {
  claimsEnough,
  leastStep,
  leastVersion,
  readLibrary,
  reasonsBetween,
} from '../workbench/library.js';
import { pathsIn } from './places.js';
import { CannotRun } from './cannot-run.js';
import type { Run } from './command.js';
import type { Host } from './host.js';
import { sharingTexts } from './texts-sharing.js';

export const run: Run = (host, args) => {
  const [before, after, ...more] = pathsIn(args, sharingTexts.release);
  if (before === undefined || after === undefined || more.length > 0) {
    throw new CannotRun(sharingTexts.twoLibraries);
  }
  const [old, now] = [libraryAt(host, before), libraryAt(host, after)];
  if (old.name !== now.name) {
    throw new CannotRun(sharingTexts.otherLibrary(old.name, now.name));
  }
  const reasons = reasonsBetween(old.library, now.library);
  const step = leastStep(reasons);
  const from = old.library.version;
  const claimed = now.library.version;
  const least = step === undefined ? from : leastVersion(from, step);
  const isEnough = claimsEnough(from, claimed, step);
  if (least === undefined || isEnough === undefined) {
    throw new CannotRun(sharingTexts.noVersion(from, claimed));
  }
  if (args.values.get('format') === 'json') {
    const value = {
      schemaVersion: 1,
      package: now.name,
      from,
      claimed,
      step: step ?? 'none',
      least,
      enough: isEnough,
      reasons,
    };
    host.print(`${JSON.stringify(value, undefined, 2)}\n`);
  } else {
    reasons.forEach(({ step: weight, subject, what }) => {
      host.print(`${weight}: ${subject}: ${what}\n`);
    });
    host.print(sharingTexts.leastVersion(now.name, from, step, least));
    if (!isEnough) {
      host.print(sharingTexts.claimsLess(claimed, least));
    }
  }
  return args.flags.has('check') && !isEnough ? 1 : 0;
};

function libraryAt(host: Host, place: string) {
  const folder = path.resolve(host.folder, place);
  if (kindAt(folder) !== 'folder') {
    throw new CannotRun(sharingTexts.noLibrary(place, 'it is no folder'));
  }
  const sources = ferruleFilesBelow(folder).map((file) => nameOf(folder, file));
  const files = nodeFiles({ base: host.folder, places: [] });
  const reading = readLibrary(files, nameOf(host.folder, folder), sources);
  if (reading.kind === 'refused') {
    throw new CannotRun(sharingTexts.noLibrary(place, reading.why));
  }
  return reading;
}
