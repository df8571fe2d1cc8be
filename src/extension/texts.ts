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
  openText: () => l10n.t('Open Text'),
};
