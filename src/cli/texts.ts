/** Every sentence of the command line. */

export const texts = {
  name: 'ferrule',
  purpose: 'Control topologies of building air-conditioning as text: checked, drawn, handed over.',
  usageTitle: 'Usage',
  commandsTitle: 'Commands',
  optionsTitle: 'Options',
  moreHelp: '`ferrule COMMAND --help` says more about a command.',
  exitCodes: 'Exit codes: 0 done, 1 something is wrong with the site, 2 the command could not run.',
  caution: [
    'Isolate, lock and prove dead before touching a terminal. Local codes and the equipment’s own',
    'instructions come first; work on mains is for licensed people only. Results are to be checked by a',
    'competent person.',
  ],
  helpAbout: 'Show this help.',
  versionAbout: 'Show the version.',

  check: {
    usage: 'check PATH… [options]',
    summary: 'Find what is wrong with sites.',
    about: [
      'A PATH is a file or a folder. A folder means every site in it, and every library file that none',
      'of them uses. The exit code is 1 when a finding that is not accepted weighs enough.',
    ],
  },
  facts: {
    usage: 'facts SITE [options]',
    summary: 'Show every computed value of a site.',
    about: [
      'SITE is the file with the line that starts with "site", or a folder with one such file.',
    ],
  },
  draw: {
    usage: 'draw SITE [options]',
    summary: 'Draw a site as SVG or PNG.',
    about: [
      'Without --out the drawing is printed as SVG. Findings stand in it as numbered marks, so a site with',
      'errors is drawn, too.',
    ],
  },
  pack: {
    usage: 'pack SITE --out DIR [options]',
    summary:
      'Write the job pack of a site: drawings, schedules, material, order of work, commissioning.',
    about: [
      'The folder is written whole or not at all. Files in it that are not of a former pack stay as they',
      'are, and so does a sheet of a former pack that somebody has filled in: then nothing is written.',
    ],
  },
  explain: {
    usage: 'explain RULE | explain NAME.fact [SITE]',
    summary: "Show a rule's page, or how a computed value came about.",
    about: [
      'For a value, SITE is its file or folder; left out, the site in this folder. The names of values',
      'are those that `ferrule facts` shows: field-1.total-length, ZC-1.supply.voltage.',
    ],
  },
  format: {
    usage: 'format PATH… [options]',
    summary: 'Write files in their canonical form.',
    about: ['A folder means every .ferrule file in it. Comments always stay.'],
  },

  onAbout: 'The day for which the site is judged, such as 2026-11-25. Left out: today.',
  colorAbout: 'Set words off in colours.',
  formatAbout: 'text (left out) or json.',
  failOnAbout: 'The least severity that makes the exit code 1: error (left out) or warning.',
  viewAbout: 'topology (left out), terminals, power or ip.',
  ofAbout: 'The bus or feed whose terminals are drawn.',
  statusAbout: 'Show what was seen of each device on site: found, missing, or not looked at.',
  drawOutAbout: 'The file to write; its end says the form: .svg or .png.',
  drawFormatAbout: 'svg or png: what the end of the file must be.',
  packOutAbout: 'The folder to write.',
  phaseAbout: 'What the schedules list: all (left out), or new for what is not existing.',
  formatCheckAbout: 'Write nothing; list what would change and let the exit code be 1.',

  unknownCommand: (name: string, near: string | undefined) =>
    `There is no command "${name}".${meant(near)} \`ferrule --help\` lists them.`,
  unknownOption: (name: string, command: string, near: string | undefined) =>
    `\`${command}\` has no option ${name}.${meant(near === undefined ? undefined : `--${near}`)} \`ferrule ${command} --help\` lists them.`,
  unknownChoice: (option: string, value: string, choices: readonly string[]) =>
    `--${option} cannot be "${value}": it is ${choices.join(' or ')}.`,
  missingValue: (option: string, value: string) =>
    `--${option} needs a value: --${option} ${value}.`,
  needlessValue: (option: string) => `--${option} takes no value.`,
  noDate: (text: string) => `--on "${text}" is no date. Write year, month and day: 2026-11-25.`,
  missingPath: (usage: string) => `A path is missing. Usage: ferrule ${usage}`,
  missingName: (usage: string) => `A name is missing. Usage: ferrule ${usage}`,
  tooMany: (word: string, usage: string) =>
    `"${word}" is one argument too many. Usage: ferrule ${usage}`,
  nothingThere: (path: string) => `There is no file or folder "${path}".`,
  noFilesIn: (path: string) => `There is no .ferrule file in "${path}".`,
  noSiteIn: (path: string) =>
    `No file in "${path}" has a line that starts with "site". Name the file itself.`,
  noSiteToPack: (path: string) =>
    `"${path}" has no line that starts with "site", so a job pack would belong to nothing.`,
  severalSitesIn: (path: string, sites: readonly string[]) =>
    `There are several sites in "${path}". Name one: ${sites.join(', ')}.`,
  unreadable: (path: string, why: string) => `"${path}" cannot be read: ${why}.`,
  isFolder: (path: string) => `"${path}" is a folder, not a file.`,
  unwritable: (path: string, why: string) =>
    `"${path}" cannot be written: ${why}. Nothing was changed.`,
  ofMissing: 'The terminals view shows one bus or feed. Name it: --of NAME.',
  ofNeedless: '--of belongs to the terminals view: --view terminals --of NAME.',
  statusNeedless: '--status belongs to the topology view: it shows what was seen of each device.',
  drawingForms: (file: string) =>
    `The end of "${file}" names no form of a drawing: it is .svg or .png.`,
  drawOutMissing: (format: string) =>
    `A drawing as ${format.toUpperCase()} is not printed. Name the file to write: --out FILE.${format}.`,
  formsDiffer: (file: string, format: string) =>
    `"${file}" and --format ${format} name two forms. Leave --format out, or end the file in .${format}.`,
  unknownRun: (name: string, near: readonly string[]) =>
    `There is no bus or feed "${name}".${near.length > 0 ? ` Did you mean ${near.join(', ')}?` : ''}`,
  outMissing: (usage: string) => `The folder to write is missing. Usage: ferrule ${usage}`,
  outIsFile: (path: string) => `"${path}" is a file. Name a folder for the job pack.`,
  outHoldsSources: (path: string) =>
    `"${path}" holds this folder or files of the site. Name a folder of its own for the job pack.`,
  foreignInTheWay: (folder: string, files: readonly string[]) =>
    `"${folder}" holds files that the job pack would replace, and that are not as a former pack left them: ${files.join(', ')}. Nothing was written. Move them, or name another folder.`,
  wrote: (path: string) => `Wrote ${path}\n`,
  wrotePack: (folder: string, count: number) => `Wrote ${count} files to ${folder}\n`,
  withErrors: (count: number) =>
    `The site has ${count} error${count === 1 ? '' : 's'}; \`ferrule check\` shows ${count === 1 ? 'it' : 'them'}.\n`,
  unknownRule: (name: string, near: readonly string[]) =>
    `There is no rule "${name}".${near.length > 0 ? ` Did you mean ${near.join(', ')}?` : ' The name stands beside each finding that `ferrule check` prints.'}`,
  unknownFact: (name: string, near: readonly string[]) =>
    `Nothing named "${name}" is computed.${near.length > 0 ? ` Did you mean ${near.join(', ')}?` : ' `ferrule facts` lists every value.'}`,
  notFormatted: (place: string, why: string) => `${place} is not formatted: ${why}`,
  wouldChange: (file: string) => `${file} is not in its canonical form.\n`,
  formatted: (file: string) => `Formatted ${file}\n`,
  allFormatted: (count: number) =>
    `${count} file${count === 1 ? ' is' : 's are'} in canonical form.\n`,
  outputLost: (why: string) => `The output cannot be written: ${why}.`,
  ownFault: (what: string) =>
    `Ferrule stopped because of a fault of its own: ${what}. Please report it together with the files.`,
} as const;

function meant(near: string | undefined): string {
  return near === undefined ? '' : ` Did you mean ${near}?`;
}
