/** Sentences of the command that compares two versions of a site. */

export const reviewTexts = {
  diff: {
    usage: 'diff BASE HEAD [options]',
    summary: 'What a change means on site: what to redo, why, and what got better or worse.',
    about: [
      'BASE and HEAD are each the file of a site, a folder with one, a revision of git (REV), or a file or',
      'folder in a revision (REV:PATH, from the top of the repository, or from here with ./). REV alone',
      'means the path of the other side, or this folder. Models are compared, never text: layout, order',
      'of declarations and files play no part. A version that cannot be read whole is not compared.',
    ],
  },
  formatAbout: 'text (a terminal), markdown (a comment), summary (a run), json; text if left out.',
  exitCodeAbout: 'End with 1 where anything changed.',
  outAbout: 'The file to write; left out: the terminal.',
  noSuchSide: (side: string, why: string) =>
    `There is no file or folder "${side}", and it cannot be read as a revision of git: ${why}.`,
  notInRevision: (place: string, revision: string) =>
    `There is no file or folder "${place}" at "${revision}".`,
  noFilesInRevision: (place: string, revision: string) =>
    `There is no .ferrule file in "${place}" at "${revision}".`,
  installedNow: (revision: string) =>
    `Packages are not kept in "${revision}": it is read with those that are installed now.\n`,
  twoNeeded: (usage: string) => `Two versions are needed. Usage: ferrule ${usage}`,
  unread: (side: string, what: string) =>
    `"${side}" cannot be compared, because it is not read whole: ${what} Run "ferrule check" on it first.`,
} as const;
