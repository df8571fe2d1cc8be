/** Sentences about new sites, libraries and their versions. */

export const sharingTexts = {
  init: {
    usage: 'init DIR',
    summary: 'Make a new site with the starter library.',
    about: [
      'Writes a small site that is right, and generic equipment, cables and open buses beside it. All',
      'figures of the equipment are invented: replace them by the data of the real one. Files that',
      'stand there already are never replaced.',
    ],
  },
  alreadyThere: (dir: string, names: readonly string[]) =>
    `"${dir}" has ${names.map((name) => `"${name}"`).join(', ')} already. Nothing was written; choose another folder.`,
  dirIsFile: (dir: string) => `"${dir}" is a file. Name a folder for the new site.`,
  made: (site: string, files: number) =>
    `Wrote ${files} files; the site is ${site}\nNext: ferrule check ${site}\n`,
} as const;
