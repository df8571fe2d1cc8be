/** Names that people wrote, as names of files that every file system takes. */

/** Names that one file system keeps for devices of its own, whatever ending follows. */
const RESERVED = /^(?:con|prn|aux|nul|com\d|lpt\d)$/iu;

/**
 * One file name (without ending) for each name, in order, no two of them equal even where capital
 * letters do not count.
 */
export function fileNames(names: readonly string[]): readonly string[] {
  const used = new Set<string>();
  return names.map((name) => {
    const stem = fileStem(name);
    let chosen = stem;
    for (let times = 2; used.has(chosen.toLowerCase()); times += 1) {
      chosen = `${stem}-${times}`;
    }
    used.add(chosen.toLowerCase());
    return chosen;
  });
}

function fileStem(name: string): string {
  const plain = name
    .normalize('NFC')
    .replace(/[^\p{L}\p{N}_-]+/gu, '-')
    .replace(/^-+|-+$/gu, '')
    .slice(0, 100);
  return plain === '' || RESERVED.test(plain) ? `drawing-${plain}`.replace(/-$/u, '') : plain;
}
