/** A revision of a repository as files: its tree, read from the store of git and never checked out. */
import { callGit } from './call.js';

export type TreeContent =
  | { readonly kind: 'text'; readonly text: string }
  | { readonly kind: 'missing' }
  | { readonly kind: 'folder' }
  /** `why` completes "cannot be read: …". */
  | { readonly kind: 'unreadable'; readonly why: string };

interface TreeEntry {
  readonly kind: 'file' | 'link' | 'submodule';
  readonly object: string;
}

/** Links lead on at most so many times, as on a disk. */
const MOST_LINKS = 40;

export class GitRevision {
  readonly #texts = new Map<string, TreeContent>();
  readonly #folders: ReadonlySet<string>;

  private constructor(
    private readonly folder: string,
    /** As a person wrote it. */
    readonly name: string,
    /** Full hash of the commit. */
    readonly commit: string,
    /** The folder that it was opened from, seen from the top of the repository: empty, or ending in `/`. */
    readonly prefix: string,
    private readonly entries: ReadonlyMap<string, TreeEntry>,
  ) {
    this.#folders = foldersOf(entries.keys());
  }

  /** Opens a revision of the repository that a folder belongs to, or says why there is none. */
  static open(folder: string, name: string): GitRevision | { readonly why: string } {
    if (name.startsWith('-')) {
      return { why: 'the name of a revision does not start with "-"' };
    }
    if (name === '' || /[\p{Cc}\s]/u.test(name)) {
      return { why: 'the name of a revision has no blanks and is not empty' };
    }
    const prefix = callGit(folder, ['rev-parse', '--show-prefix']);
    if (!prefix.ok) {
      return prefix;
    }
    const verify = ['rev-parse', '--verify', '--end-of-options', `${name}^{commit}`];
    const commit = callGit(folder, verify);
    if (!commit.ok) {
      return { why: `git knows no commit "${name}" (${commit.why})` };
    }
    const hash = commit.out.toString('utf8').trim();
    const tree = callGit(folder, ['ls-tree', '-r', '-z', '--full-tree', hash]);
    if (!tree.ok) {
      return tree;
    }
    const inside = prefix.out.toString('utf8').replace(/\r?\n$/u, '');
    return new GitRevision(folder, name, hash, inside, entriesIn(tree.out.toString('utf8')));
  }

  /** What stands at a path from the top of the repository, links followed. */
  kindAt(path: string): 'file' | 'folder' | 'missing' {
    const real = this.real(path);
    if (this.#folders.has(real)) {
      return 'folder';
    }
    return this.entries.get(real)?.kind === 'file' ? 'file' : 'missing';
  }

  read(path: string): TreeContent {
    const real = this.real(path);
    const known = this.#texts.get(real);
    if (known !== undefined) {
      return known;
    }
    if (this.#folders.has(real)) {
      return { kind: 'folder' };
    }
    const entry = this.entries.get(real);
    if (entry?.kind !== 'file') {
      return { kind: 'missing' };
    }
    this.#readAll([real]);
    return this.#texts.get(real)!;
  }

  /** Every file below a folder, links left out; those that are asked for are read at once. */
  filesBelow(place: string, isWanted: (path: string) => boolean): readonly string[] {
    const inside = place === '' ? '' : `${place}/`;
    const found = [...this.entries]
      .filter(([path, { kind }]) => kind === 'file' && path.startsWith(inside) && isWanted(path))
      .map(([path]) => path);
    this.#readAll(found.filter((path) => !this.#texts.has(path)));
    return found;
  }

  /** The path behind links; the path itself where nothing is there. */
  real(path: string): string {
    let steps = path.split('/').filter((step) => step !== '' && step !== '.');
    let at: string[] = [];
    for (let links = 0; steps.length > 0;) {
      const step = steps.shift()!;
      if (step === '..') {
        at.pop();
        continue;
      }
      const entry = this.entries.get([...at, step].join('/'));
      if (entry?.kind !== 'link') {
        at.push(step);
        continue;
      }
      const target = this.#target(entry);
      links += 1;
      if (links > MOST_LINKS || target === undefined || target.startsWith('/')) {
        return path;
      }
      const whole = [...at, ...target.split('/'), ...steps];
      if (leavesTop(whole)) {
        return path;
      }
      steps = whole.filter((one) => one !== '' && one !== '.');
      at = [];
    }
    return at.join('/');
  }

  #target({ object }: TreeEntry): string | undefined {
    const answer = callGit(this.folder, ['cat-file', 'blob', object]);
    return answer.ok ? answer.out.toString('utf8') : undefined;
  }

  /** Reads files in one call; each has an answer afterwards. */
  #readAll(paths: readonly string[]): void {
    if (paths.length === 0) {
      return;
    }
    const objects = paths.map((path) => this.entries.get(path)!.object);
    const answer = callGit(this.folder, ['cat-file', '--batch'], `${objects.join('\n')}\n`);
    const contents = answer.ok ? contentsIn(answer.out) : [];
    paths.forEach((path, index) => {
      const bytes = contents[index];
      const why = answer.ok ? 'git does not have it here' : answer.why;
      this.#texts.set(path, bytes === undefined ? { kind: 'unreadable', why } : textOf(bytes));
    });
  }
}

/** Refuses bytes that are no UTF-8, and drops a mark of byte order, as files on a disk are read. */
const decoder = new TextDecoder('utf-8', { fatal: true });

function textOf(bytes: Buffer): TreeContent {
  try {
    return { kind: 'text', text: decoder.decode(bytes) };
  } catch {
    return { kind: 'unreadable', why: 'it is no text in UTF-8' };
  }
}

/** The records of `ls-tree -z`: mode, type and hash, a tab, the path, a zero. */
function entriesIn(listing: string): ReadonlyMap<string, TreeEntry> {
  const entries = new Map<string, TreeEntry>();
  for (const [, mode, object, path] of listing.matchAll(/(\d{6}) \w+ ([0-9a-f]+)\t([^\0]*)\0/gu)) {
    const kind = mode === '120000' ? 'link' : mode === '160000' ? 'submodule' : 'file';
    entries.set(path!, { kind, object: object! });
  }
  return entries;
}

/** The answers of `cat-file --batch` in their order; undefined for an object that is not there. */
function contentsIn(out: Buffer): readonly (Buffer | undefined)[] {
  const contents: (Buffer | undefined)[] = [];
  for (let at = 0; at < out.length;) {
    const end = out.indexOf('\n', at);
    const size = /^[0-9a-f]+ blob (\d+)$/u.exec(out.toString('latin1', at, end))?.[1];
    at = end + 1;
    if (size === undefined) {
      contents.push(undefined);
      continue;
    }
    contents.push(out.subarray(at, at + Number(size)));
    at += Number(size) + 1;
  }
  return contents;
}

function foldersOf(paths: Iterable<string>): ReadonlySet<string> {
  const folders = new Set(['']);
  for (const path of paths) {
    for (let end = path.lastIndexOf('/'); end > 0; end = path.lastIndexOf('/', end - 1)) {
      folders.add(path.slice(0, end));
    }
  }
  return folders;
}

function leavesTop(steps: readonly string[]): boolean {
  let depth = 0;
  return steps.some((step) => {
    depth += step === '..' ? -1 : step === '' || step === '.' ? 0 : 1;
    return depth < 0;
  });
}
