/** Sentences of the command that reads filled-in sheets. */

export const recordTexts = {
  record: {
    usage: 'record SITE [SHEET…] [options]',
    summary: 'Take over what a filled-in commissioning sheet says was seen.',
    about: [
      'A SHEET is a CSV file or a workbook as `ferrule pack` writes them, filled in. Columns may stand in',
      'any order and rows too; further columns are left alone. What was seen becomes lines that start',
      'with "observed", behind those that are there already; nothing else in the file changes, and what',
      'stands there is not written twice. While a row is wrong, nothing is written.',
      'Without a sheet it tells how far commissioning is, area by area, and what is next.',
    ],
  },
  outAbout: 'The .ferrule file to merge into; left out: the file of the site.',
  partlyAbout: 'Take over the rows that are right although others are wrong.',
  onAbout: 'The day for rows without a date, and the last one that counts. Left out: today.',
  nothingToSee: 'This site has nothing to commission yet.\n',
  noArea: 'No area stated',
  areaCounts: (area: string, found: number, all: number, missing: number, open: number) =>
    `${area}: ${found} of ${all} seen as expected, ${missing} otherwise, ${open} not looked at`,
  differs: (task: string) => `otherwise: ${task}`,
  next: (task: string) => `next: ${task}`,
  more: (count: number) => `and ${count} more`,
  noTable: (files: readonly string[]) =>
    `${files.join(', ')}: no commissioning table with a heading "seen" is in it. Give a file that \`ferrule pack\` wrote, with its headings left as they are.`,
  unreadable: (file: string, why: string) => `"${file}" cannot be read: ${why}.`,
  sheetOf: (file: string, sheet: string) => `${file}, sheet "${sheet}"`,
  counts: (shown: string, seen: number, confirmed: number, blank: number) =>
    `${shown}: ${seen} observation${seen === 1 ? '' : 's'}${confirmed === 0 ? '' : `, ${confirmed} seen as expected`}${blank === 0 ? '' : `, ${blank} row${blank === 1 ? '' : 's'} not filled in`}`,
  undated: (shown: string, count: number, day: string) =>
    `${shown}: ${count} row${count === 1 ? ' has' : 's have'} no date and got ${day}; --on DATE gives another.`,
  unread: (shown: string, headings: readonly string[]) =>
    `${shown}: what stands under ${headings.join(', ')} is not taken over; keep the sheet.`,
  otherRevision: (shown: string, revisions: readonly string[], revision: string) =>
    `${shown}: the sheet is of revision ${revisions.join(', ')}, the site is at ${revision}. Make sure that it still fits.`,
  wrongRow: (shown: string, row: number, message: string) => `${shown}, row ${row}: ${message}`,
  nothingWritten: (wrong: number) =>
    `Nothing was written, because ${wrong} row${wrong === 1 ? ' is' : 's are'} wrong. Put ${wrong === 1 ? 'it' : 'them'} right, or add --partly.\n`,
} as const;
