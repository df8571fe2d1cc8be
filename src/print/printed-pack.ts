/** The printed forms of a pack. Heavy: loaded by whoever writes a pack, when it is written. */
import type { Pack } from '../documents/pack.js';
import { pdfOf } from './pdf/job-pdf.js';
import { workbookOf } from './workbook/workbook.js';

/** A file of a pack that is no text. */
export interface PrintedFile {
  readonly path: string;
  readonly bytes: Uint8Array;
}

/**
 * One PDF and one workbook; the same bytes for the same pack. The streams of the PDF are packed by the
 * zlib of Node, so that another release of Node may pack the same content otherwise.
 */
export async function printedFilesOf(pack: Pack): Promise<readonly PrintedFile[]> {
  return [
    { path: 'job-pack.pdf', bytes: await pdfOf(pack) },
    { path: 'job-pack.xlsx', bytes: await workbookOf(pack) },
  ];
}
