/**
 * Filled-in sheets as grids of text: CSV as spreadsheets save it in any country, and XLSX.
 *
 * The libraries know the formats; what stands in the cells is the matter of the workbench.
 */
import Papa from 'papaparse';
import readWorkbook from 'read-excel-file/node';

/** A sheet of a file, its cells as a person sees them; days as `2026-11-20`. */
export interface GridSheet {
  /** Name of the sheet; undefined for CSV, which has one without a name. */
  readonly name: string | undefined;
  readonly rows: readonly (readonly string[])[];
}

/** The file is none of the two formats, or broken. `why` completes "cannot be read: …". */
export class UnreadableSheet extends Error {
  override readonly name = 'UnreadableSheet';
}

/** A filled-in sheet has a few hundred kilobytes; what is far larger is something else. */
const MOST_BYTES = 50_000_000;

/** Every sheet of a file. A workbook is known by its first bytes, not by its name. */
export async function readSheets(bytes: Uint8Array): Promise<readonly GridSheet[]> {
  if (bytes.length > MOST_BYTES) {
    throw new UnreadableSheet('it is larger than 50 MB');
  }
  return isArchive(bytes) ? await sheetsOfWorkbook(bytes) : [sheetOfCsv(decoded(bytes))];
}

async function sheetsOfWorkbook(bytes: Uint8Array): Promise<readonly GridSheet[]> {
  try {
    const sheets = await readWorkbook(Buffer.from(bytes), { trim: false });
    return sheets.map(({ sheet, data }) => ({
      name: sheet,
      rows: data.map((row) => row.map(cellText)),
    }));
  } catch (error) {
    throw new UnreadableSheet(
      `it is no workbook (${error instanceof Error ? error.message : String(error)})`,
    );
  }
}

function sheetOfCsv(text: string): GridSheet {
  const { data, errors } = Papa.parse<string[]>(text, { delimiter: delimiterOf(text) });
  const broken = errors.find(({ type }) => type === 'Quotes');
  if (broken !== undefined) {
    throw new UnreadableSheet(`a quote in row ${(broken.row ?? 0) + 1} is opened and not closed`);
  }
  return { name: undefined, rows: data };
}

/** The first line that has any tells: below it decimal commas would look like delimiters. */
function delimiterOf(text: string): string {
  for (const line of text.split(/\r?\n/u, 20)) {
    const bare = line.replaceAll(/"[^"]*"/gu, '');
    const [most] = [',', ';', '\t']
      .map((delimiter) => ({ delimiter, count: bare.split(delimiter).length - 1 }))
      .sort((one, other) => other.count - one.count);
    if (most!.count > 0) {
      return most!.delimiter;
    }
  }
  return ',';
}

function cellText(cell: unknown): string {
  if (cell === null || cell === undefined) {
    return '';
  }
  return cell instanceof Date ? cell.toISOString().slice(0, 10) : String(cell);
}

/** `PK`: an archive (APPNOTE.TXT 4.3.7). */
function isArchive(bytes: Uint8Array): boolean {
  return bytes[0] === 0x50 && bytes[1] === 0x4b;
}

/** UTF-8 or UTF-16 by its mark; else UTF-8 where it is that, else the code page of old spreadsheets. */
function decoded(bytes: Uint8Array): string {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) {
    return new TextDecoder('utf-16le').decode(bytes);
  }
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return new TextDecoder('windows-1252').decode(bytes);
  }
}
