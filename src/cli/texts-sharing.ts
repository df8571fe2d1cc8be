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
  vendor: {
    usage: 'vendor SITE [options]',
    summary: 'Copy the packages of a site beside it.',
    about: [
      'Copies what is installed into the folder ferrule-vendor, with a hash of each file, so that the',
      'site opens in years without a registry. The copies are used before what is installed. A copy that',
      'was changed is replaced, and said; a file that is no copy is never touched.',
    ],
  },
  vendorCheckAbout:
    'Copy nothing; exit 1 where a copy is not what was copied, or a package is not copied.',
  nothingToCopy: 'The site uses no package.\n',
  copied: (folder: string, packages: number, files: number) =>
    `Copied ${packages} package${packages === 1 ? '' : 's'} (${files} files) to ${folder}\n`,
  copiesRight: (packages: number) =>
    `All ${packages} package${packages === 1 ? '' : 's'} that the site uses are copied and unchanged.\n`,
  alteredCopy: (file: string, what: string) => `The copy of "${file}" ${what}.\n`,
  replacedCopy: (file: string, what: string) => `The copy of "${file}" ${what}; it was replaced.\n`,
  notCopied: (name: string, from: string) =>
    `The package "${name}" is not copied; it is read from ${from}.\n`,
  strangeInVendor: (folder: string, files: readonly string[]) =>
    `${folder} holds what is no copy: ${files.map((file) => `"${file}"`).join(', ')}. Nothing was written; move it away.`,
  unreadableSite: (root: string) => `"${root}" cannot be read.`,
  unreadablePart: (name: string, file: string) =>
    `"${file}" of the package "${name}" cannot be read as text in UTF-8.`,
  unwritableFolder: (folder: string, why: string) => `"${folder}" cannot be written: ${why}.`,
  docs: {
    usage: 'docs PATH [options]',
    summary: 'Write a page and a picture for each template.',
    about: [
      'PATH is a file, a folder or a package. Each piece of equipment, cable and bus type gets a page with',
      'its connections, terminals, supplies, limits and parameters, and a picture.',
    ],
  },
  docsOutAbout: 'The folder to write; template-pages where left out.',
  noTemplates: (place: string) => `"${place}" declares no equipment, cable, bus type or assembly.`,
  documented: (templates: number, out: string) =>
    `Wrote the pages of ${templates} template${templates === 1 ? '' : 's'} to ${out}\n`,
  release: {
    usage: 'release OLD NEW [options]',
    summary: 'Say how far the version of a library must step.',
    about: [
      'OLD and NEW are folders of one package. A site that was right and may be wrong now asks for a major',
      'step, more or better things for a minor one, other words for a patch. Below 1.0.0 the second number',
      'counts as the first.',
    ],
  },
  releaseCheckAbout: 'Exit 1 where the package.json of NEW claims less than that.',
  twoLibraries: 'Give two folders: the library as it was, and as it is.',
  otherLibrary: (before: string, after: string) =>
    `These are different packages: "${before}" and "${after}".`,
  noVersion: (before: string, after: string) =>
    `"${before}" or "${after}" is no version such as 1.2.0.`,
  noLibrary: (place: string, why: string) => `The library "${place}" cannot be read: ${why}.`,
  leastVersion: (name: string, from: string, step: string | undefined, least: string) =>
    step === undefined
      ? `${name} ${from}: nothing changed that a site can see.\n`
      : `${name} ${from}: a ${step} step, so ${least} at least.\n`,
  claimsLess: (claimed: string, least: string) =>
    `The package.json claims ${claimed}, which is less than ${least}.\n`,
  outdated: {
    usage: 'outdated SITE [options]',
    summary: 'List newer versions of the packages of a site.',
    about: [
      'Asks the registry by the npm of this computer, with its settings and rights. With --impact each newer',
      'version is tried on this site in a folder of its own, and what would change is said; nothing of the',
      'site is touched and no code of a package is run.',
    ],
  },
  impactAbout:
    'Say for each version which findings, schedule rows and expected counts would change.',
  npmFailed: (what: string, why: string) => `"npm ${what}" failed: ${why}.`,
  noPackage: 'The site uses no package.\n',
  versionsOf: (name: string, current: string, newer: number) =>
    newer === 0
      ? `${name} ${current}: nothing newer\n`
      : `${name} ${current}: ${newer} newer version${newer === 1 ? '' : 's'}\n`,
  changesNothing: 'changes nothing on this site',
  notUsable: (why: string) => `cannot be used: ${why}`,
  findingComes: (line: string) => `new finding: ${line}`,
  findingGoes: (line: string) => `no longer found: ${line}`,
  countChanges: (name: string, before: string, after: string) => `${name}: ${before} → ${after}`,
  rowsChange: (name: string, gone: number, come: number) =>
    `${name}: ${gone} row${gone === 1 ? '' : 's'} out, ${come} in`,
  alreadyThere: (dir: string, names: readonly string[]) =>
    `"${dir}" has ${names.map((name) => `"${name}"`).join(', ')} already. Nothing was written; choose another folder.`,
  dirIsFile: (dir: string) => `"${dir}" is a file. Name a folder for the new site.`,
  made: (site: string, files: number) =>
    `Wrote ${files} files; the site is ${site}\nNext: ferrule check ${site}\n`,
} as const;
