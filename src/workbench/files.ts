/** How the workbench sees files. Each door brings its own; nothing behind it touches a disk. */

export type FileContent =
  | { readonly kind: 'text'; readonly text: string }
  | { readonly kind: 'missing' }
  | { readonly kind: 'folder' }
  /** `why` completes "cannot be read: …". */
  | { readonly kind: 'unreadable'; readonly why: string };

export interface Files {
  read(path: string): FileContent;
  /** The path that a `use "./…"` line means, seen from the file it stands in. */
  resolve(from: string, use: string): string;
  /** The path behind links, where the files have links: a linked package uses what stands beside it. */
  real?(path: string): string;
  /** Every `.ferrule` file that the door knows of, in a stable order. */
  list(): readonly string[];
}

/** Joins and normalises a relative path with `/`; keeps a leading `scheme:` part and never goes above the root. */
export function joinPath(from: string, use: string): string {
  const [scheme = ''] = /^[a-z][a-z0-9+.-]*:(\/\/[^/]*)?/iu.exec(from) ?? [''];
  const base = from.slice(scheme.length);
  const absolute = base.startsWith('/');
  const steps = use.startsWith('/') ? [] : base.split('/').slice(0, -1);
  const result: string[] = [];
  for (const step of [...steps, ...use.split('/')]) {
    if (step === '' || step === '.') {
      continue;
    }
    if (step === '..' && result.length > 0 && result[result.length - 1] !== '..') {
      result.pop();
    } else if (step !== '..' || !absolute) {
      result.push(step);
    }
  }
  return `${scheme}${absolute || use.startsWith('/') ? '/' : ''}${result.join('/')}`;
}

/** Files held in memory: for tests, and for text that no file holds yet. */
export function memoryFiles(texts: Readonly<Record<string, string>>): Files {
  return {
    read: (path) => {
      const text = texts[path];
      if (text !== undefined) {
        return { kind: 'text', text };
      }
      return Object.keys(texts).some((one) => one.startsWith(`${path}/`))
        ? { kind: 'folder' }
        : { kind: 'missing' };
    },
    resolve: joinPath,
    list: () => Object.keys(texts).sort(),
  };
}
