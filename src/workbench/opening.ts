/** Which files a site consists of, and what is wrong with the lines that name them. */
import { NEAR_FILES, raisedFinding } from '../language/validate.js';
import type { Finding } from '../model/finding.js';
import { placeOf, type DeclarationId, type Place } from '../model/origin.js';
import { relativePath } from './editing/use-path.js';
import type { FileContent, Files } from './files.js';
import { nearNames } from './near-names.js';
import { PackageWalk, type UsedPackage } from './package-walk.js';

/** A `use` line in a file. */
export interface UseLine {
  /** Its key, known when the whole site is. */
  readonly id: DeclarationId;
  readonly path: string;
}

/** How a walk reads a file: the lines by which it names others. */
export type ReadUses<Line extends UseLine> = (path: string, text: string) => readonly Line[];

/** What a walk over the files of a site found. */
export interface Walk<Line extends UseLine> {
  /** The root first, each once, in the order in which they are used. */
  readonly paths: readonly string[];
  readonly uses: ReadonlyMap<string, readonly string[]>;
  /** For each line the files that it names, where they were read: a package may bring several. */
  readonly targets: ReadonlyMap<Line, readonly string[]>;
  /** Every file that a line names, read or not. */
  readonly named: ReadonlySet<string>;
  /** Those of them that are missing: what is said about them names files that they may mean. */
  readonly missing: ReadonlySet<string>;
  /** The packages that it uses, by name. */
  readonly packages: readonly UsedPackage[];
  /** What is wrong, to be asked for when the lines have their keys. */
  readonly findings: () => readonly Finding[];
}

/** Walks from a root file that can be read. */
export function walkFiles<Line extends UseLine>(
  root: { readonly path: string; readonly text: string },
  files: Files,
  readUses: ReadUses<Line>,
): Walk<Line> {
  const paths: string[] = [];
  const open: string[] = [];
  const uses = new Map<string, string[]>();
  const targets = new Map<Line, readonly string[]>();
  const named = new Set<string>();
  const missing = new Set<string>();
  const findings: (() => Finding)[] = [];
  const packages = new PackageWalk(files, (finding) => findings.push(finding));

  const visit = (path: string, text: string): void => {
    paths.push(path);
    open.push(path);
    const usedHere: string[] = [];
    uses.set(path, usedHere);
    const later: { path: string; text: string }[] = [];
    const follow = (line: Line, target: string): void => {
      named.add(target);
      if (open.includes(target)) {
        findings.push(() => cycleFinding(line, target === path ? 'itself' : 'another'));
        return;
      }
      const used = files.read(target);
      if (used.kind !== 'text') {
        if (used.kind === 'missing') {
          missing.add(target);
        }
        const near = used.kind === 'missing' ? nearFiles(files, path, target) : [];
        findings.push(() => importFinding(line.path, used, placeOf(line.id, 'path'), near));
        return;
      }
      packages.verify(line, target, used.text);
      usedHere.push(target);
      targets.set(line, [...(targets.get(line) ?? []), target]);
      if (!uses.has(target) && !later.some((one) => one.path === target)) {
        later.push({ path: target, text: used.text });
      }
    };
    for (const line of readUses(path, text)) {
      const isFile = /^\.{0,2}\//u.test(line.path);
      for (const target of isFile
        ? [files.resolve(path, line.path)]
        : packages.targets(path, line)) {
        follow(line, target);
      }
    }
    for (const one of later) {
      if (!uses.has(one.path)) {
        visit(one.path, one.text);
      }
    }
    open.pop();
  };
  visit(root.path, root.text);
  return {
    paths,
    uses,
    targets,
    named,
    missing,
    packages: packages.used(),
    findings: () => findings.map((make) => make()),
  };
}

function cycleFinding({ id, path }: UseLine, to: 'itself' | 'another'): Finding {
  return raisedFinding('import-cycle', path, {
    at: placeOf(id, 'path'),
    what:
      to === 'itself'
        ? 'This file uses itself.'
        : `"${path}" uses this file, directly or not, so they use each other in a circle.`,
    why: 'It cannot be told which of them stands first.',
    remedy: 'Remove this line; the names of both files are known in the whole site.',
  });
}

/** Files that a path probably meant, as paths from the file that names it. */
function nearFiles(files: Files, from: string, target: string): readonly string[] {
  const known = files.list().filter((path) => path !== from);
  const sameName = known.filter((path) => nameIn(path) === nameIn(target));
  const near = [...new Set([...nearNames(target, known), ...sameName])];
  return near.slice(0, mostNearFiles).map((path) => relativePath(from, path));
}

const mostNearFiles = 3;

function nameIn(path: string): string {
  return path.slice(path.lastIndexOf('/') + 1);
}

function importFinding(
  path: string,
  content: FileContent,
  at: Place,
  near: readonly string[],
): Finding {
  if (content.kind === 'missing') {
    return {
      ...raisedFinding('import-missing', path, {
        at,
        what: `There is no file "${path}".`,
        why: 'What it declares is unknown to this site.',
        remedy:
          near.length > 0
            ? `Did you mean ${near.map((one) => `"${one}"`).join(' or ')}?`
            : 'Correct the path; it counts from the folder of this file.',
      }),
      facts: near.length > 0 ? [{ fact: NEAR_FILES, value: near, unit: '' }] : [],
    };
  }
  return raisedFinding('import-unreadable', path, {
    at,
    what:
      content.kind === 'folder'
        ? `"${path}" is a folder, not a file.`
        : `"${path}" cannot be read${content.kind === 'unreadable' ? `: ${content.why}` : ''}.`,
    why: 'What it declares is unknown to this site.',
    remedy:
      content.kind === 'folder'
        ? 'Name a file in it, one "use" line for each.'
        : 'Make the file readable, or correct the path.',
  });
}
