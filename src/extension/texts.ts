import { l10n } from 'vscode';

/** Everything the extension itself says to people. The server's sentences are shown as they come. */
export const texts = {
  showLog: () => l10n.t('Show Log'),
  serverFailed: () => l10n.t('The Ferrule language server did not start.'),
  serverRestarted: () => l10n.t('The Ferrule language server runs anew.'),

  noFerruleFile: () => l10n.t('Open a .ferrule file first.'),
  topology: () => l10n.t('Ferrule: Drawing'),
  terminals: () => l10n.t('Ferrule: Terminals'),
  drawingFailed: () => l10n.t('The drawing could not be made; the log of the server says why.'),
  nothingToDrawIn: (file: string) => l10n.t('{0} has nothing to draw.', file),
  placeGone: () => l10n.t('The text no longer has what was clicked.'),

  chooseFolder: () => l10n.t('Write Job Pack Here'),
  chooseFolderTitle: () => l10n.t('Folder for the job pack'),
  packInProgress: () => l10n.t('Writing the job pack'),
  packFailed: (reason: string) => l10n.t('No job pack was written: {0}', reason),
  packWritten: (count: number, folder: string) =>
    l10n.t('Job pack written: {0} files in {1}.', count, folder),
  packInTheWay: (files: readonly string[]) =>
    l10n.t(
      'These files were changed since a pack wrote them, or are not its own, and would be replaced: {0}. Move them away, or choose another folder.',
      files.join(', '),
    ),
  openPack: () => l10n.t('Open'),

  noArea: () => l10n.t('No area stated'),
  seenOf: (found: number, all: number) => l10n.t('{0} of {1} as expected', found, all),
  taskState: (state: 'found' | 'missing' | 'open') =>
    ({
      found: l10n.t('as expected'),
      missing: l10n.t('otherwise'),
      open: l10n.t('not looked at'),
    })[state],
  pageFailed: () => l10n.t('The page could not be read; the log of the server says why.'),

  nothingToPaste: () =>
    l10n.t(
      'The clipboard is empty. Copy lines of a table first: name, equipment, room, address, supply.',
    ),
  pasteFailed: () => l10n.t('Nothing was pasted: the text changed meanwhile or could not be read.'),
  pasted: (count: number) =>
    count === 1 ? l10n.t('1 device written.') : l10n.t('{0} devices written.', count),
  pastedWithout: (count: number, left: number) =>
    l10n.t('Devices written: {0}. Lines and cells of the table left out: {1}.', count, left),
  showLeftOut: () => l10n.t('Show What Was Left Out'),
  tableLine: (line: number) => l10n.t('Line {0}', line),

  chooseSiteFolder: () => l10n.t('Start the Site Here'),
  chooseSiteFolderTitle: () => l10n.t('Folder for the new site'),
  newSiteInTheWay: (files: readonly string[]) =>
    l10n.t(
      'Nothing was written, because these files stand there already: {0}. Choose another folder.',
      files.join(', '),
    ),
  newSiteFailed: (reason: string) => l10n.t('The site was not written whole: {0}', reason),

  treeGroup: (name: string) =>
    new Map([
      ['areas', l10n.t('Areas')],
      ['elsewhere', l10n.t('In No Area')],
      ['buses', l10n.t('Buses')],
      ['supplies', l10n.t('Supplies')],
      ['networks', l10n.t('Networks')],
    ]).get(name) ?? name,
  findingCount: (errors: number, warnings: number) =>
    [
      errors === 0 ? '' : errors === 1 ? l10n.t('1 error') : l10n.t('{0} errors', errors),
      warnings === 0 ? '' : warnings === 1 ? l10n.t('1 warning') : l10n.t('{0} warnings', warnings),
    ]
      .filter((text) => text !== '')
      .join(', '),
  nothingFound: () => l10n.t('No errors, no warnings'),
  starting: () => l10n.t('Starting'),
  showProblems: () => l10n.t('Show Problems'),
  supportInfoCopied: () => l10n.t('Versions and settings are on the clipboard.'),
  checkTask: () => l10n.t('check'),

  openText: () => l10n.t('Open Text'),
};
