/** Words that only the printed forms need. */
export const printTexts = {
  page: (page: number, pages: number): string => `Page ${page} of ${pages}`,
  onPage: (page: number): string => `page ${page}`,
  drawing: (number: string): string => (number === '' ? '' : `Drawing ${number}`),
  revision: (revision: string): string => (revision === '' ? '' : `Revision ${revision}`),
  checkedOn: (date: string): string => `Checked on ${date}`,
  continued: (title: string): string => `${title} (continued)`,
  marks: 'S stated · E estimated · A assumed · C computed · M measured · P published standard',
  drawingsPart: 'Drawings',
  sheetOf: (title: string, sheet: string): string => `${title}, sheet ${sheet}`,
  overview: (title: string): string => `${title}, overview`,
  /** At the edge of a sheet that is part of a larger picture. */
  onSheet: (sheet: string): string => `continues on sheet ${sheet}`,
  sheets: (sheets: string): string => `Full size on sheets ${sheets}.`,
  sheet: {
    section: 'section',
    step: 'step',
    text: 'what',
    done: 'done',
    initials: 'initials',
    value: 'value',
    unit: 'unit',
    basis: 'basis',
    findings: 'Findings',
  },
} as const;
