/**
 * A table from a spreadsheet as devices.
 *
 * Columns are parted by tabs. Where the first line names them, they may stand in any order; else they
 * are name, equipment, room, address, supply. Nothing is dropped silently: each line that gives no
 * device, and each cell that was left out, is told with the reason.
 */
import { fitsPoint } from '../../analysis/power/type-match.js';
import { nearNames } from '../../analysis/near-names.js';
import { formatPiece } from '../../language/format.js';
import type { Equipment } from '../../model/equipment.js';
import { resolvePowerPoint, type Site } from '../../model/site.js';

export interface PastedTable {
  /** Declarations in canonical form, one below the other; empty where no line gave any. */
  readonly text: string;
  readonly devices: readonly string[];
  readonly left: readonly LeftOut[];
}

export interface LeftOut {
  /** Counts the table's lines from 1. */
  readonly line: number;
  readonly text: string;
  readonly why: string;
}

type Column = 'name' | 'equipment' | 'room' | 'address' | 'supply' | 'title';

const usualColumns: readonly Column[] = ['name', 'equipment', 'room', 'address', 'supply'];

/** What people head their columns with. */
const headings: Readonly<Record<string, Column>> = {
  name: 'name',
  device: 'name',
  tag: 'name',
  unit: 'name',
  equipment: 'equipment',
  type: 'equipment',
  room: 'room',
  place: 'room',
  address: 'address',
  supply: 'supply',
  from: 'supply',
  way: 'supply',
  circuit: 'supply',
  title: 'title',
  description: 'title',
};

export function pastedTable(site: Site, table: string): PastedTable {
  const rows = rowsOf(table);
  const left: LeftOut[] = [];
  const header = headerOf(rows[0]);
  header?.unknown.forEach((heading) =>
    left.push({
      line: rows[0]!.line,
      text: heading,
      why: `"${heading}" is no column that is known, so what stands below it was left out.`,
    }),
  );
  const columns = header?.columns ?? usualColumns;
  const devices: string[] = [];
  const lines: string[] = [];
  for (const row of header === undefined ? rows : rows.slice(1)) {
    const text = row.cells.join('\t');
    const leave = (why: string) => left.push({ line: row.line, text, why });
    const cells = cellsOf(row.cells, columns);
    row.cells.slice(columns.length).forEach((cell) => {
      if (cell !== '') {
        leave(`"${cell}" stands in a column of its own, which is not known; it was left out.`);
      }
    });
    const declaration = deviceOf(site, cells, new Set(devices), leave);
    if (declaration !== undefined) {
      devices.push(cells.name!);
      lines.push(declaration);
    }
  }
  return { text: lines.join(''), devices, left };
}

interface Row {
  readonly line: number;
  readonly cells: readonly string[];
}

/** Lines with anything in them; a cell between quotes may hold tabs, line breaks and doubled quotes. */
function rowsOf(table: string): Row[] {
  const rows: Row[] = [];
  let cells: string[] = [];
  let cell = '';
  let line = 1;
  let firstLine = 1;
  let inQuotes = false;
  const endCell = () => {
    cells.push(cell.trim().replaceAll(/\s+/gu, ' '));
    cell = '';
  };
  const endRow = () => {
    endCell();
    if (cells.some((one) => one !== '')) {
      rows.push({ line: firstLine, cells });
    }
    cells = [];
    firstLine = line + 1;
  };
  for (let index = 0; index < table.length; index++) {
    const character = table[index]!;
    if (inQuotes) {
      if (character === '"' && table[index + 1] === '"') {
        cell += '"';
        index++;
      } else if (character === '"') {
        inQuotes = false;
      } else {
        cell += character;
      }
    } else if (character === '"' && cell === '' && closes(table, index)) {
      inQuotes = true;
    } else if (character === '\t') {
      endCell();
    } else if (character === '\n') {
      endRow();
    } else {
      cell += character;
    }
    line += character === '\n' ? 1 : 0;
  }
  endRow();
  return rows;
}

/** Whether a quote at the start of a cell has its partner at the end of a cell. */
function closes(table: string, start: number): boolean {
  return /^"(?:[^"]|"")*"[ ]*(?:\t|\r?\n|$)/u.test(table.slice(start));
}

function headerOf(
  row: Row | undefined,
): { columns: readonly (Column | undefined)[]; unknown: string[] } | undefined {
  const columns = row?.cells.map((cell) => headings[cell.toLowerCase()]) ?? [];
  const isHeader = columns.includes('name') && columns.includes('equipment');
  return isHeader
    ? {
        columns,
        unknown: row!.cells.filter((cell, index) => columns[index] === undefined && cell !== ''),
      }
    : undefined;
}

function cellsOf(
  cells: readonly string[],
  columns: readonly (Column | undefined)[],
): Partial<Record<Column, string>> {
  const found: Partial<Record<Column, string>> = {};
  columns.forEach((column, index) => {
    const cell = cells[index];
    if (column !== undefined && cell !== undefined && cell !== '' && found[column] === undefined) {
      found[column] = cell;
    }
  });
  return found;
}

/** One declaration; undefined where the line gives no device. */
function deviceOf(
  site: Site,
  cells: Partial<Record<Column, string>>,
  above: ReadonlySet<string>,
  leave: (why: string) => void,
): string | undefined {
  const { name, title } = cells;
  if (name === undefined || !namePattern.test(name)) {
    leave(
      name === undefined
        ? 'It has no name.'
        : `"${name}" is not a name: a name starts with a letter and goes on with letters, digits, _ and - between them.`,
    );
    return undefined;
  }
  if (site.byName.has(name) || above.has(name)) {
    leave(`"${name}" is already the name of something in this site.`);
    return undefined;
  }
  const equipment = cells.equipment === undefined ? undefined : site.equipment.get(cells.equipment);
  if (equipment === undefined) {
    leave(
      cells.equipment === undefined
        ? 'It names no equipment.'
        : `There is no equipment "${cells.equipment}" in this site.${meant(cells.equipment, site.equipment.keys())}`,
    );
    return undefined;
  }
  const room = roomFor(site, cells.room, leave);
  const address = addressFor(cells.address, leave);
  const inlet = inletFor(site, equipment, cells.supply, leave);
  const members = [address, inlet].filter((one) => one !== undefined);
  const quoted = title === undefined ? '' : ` "${title.replaceAll(/[\\"]/gu, String.raw`\$&`)}"`;
  const text = [
    `device ${name}${quoted} : ${equipment.name}`,
    ...(room === undefined ? [] : [`in ${room}`]),
    ...(members.length === 0 ? [] : [`{ ${members.join('  ')} }`]),
  ].join(' ');
  return formatPiece(`${text}\n`) ?? `${text}\n`;
}

const namePattern = /^[A-Za-zÀ-ÖØ-öø-ɏ][A-Za-zÀ-ÖØ-öø-ɏ0-9_]*(?:-[A-Za-zÀ-ÖØ-öø-ɏ0-9_]+)*$/u;

function roomFor(
  site: Site,
  written: string | undefined,
  leave: (why: string) => void,
): string | undefined {
  if (written === undefined || site.rooms.has(written)) {
    return written;
  }
  const titled = [...site.rooms].filter(([, placed]) => placed.room.title === written);
  if (new Set(titled.map(([, placed]) => placed.key)).size === 1) {
    return titled[0]![0];
  }
  const several = site.ambiguousRooms.get(written);
  leave(
    several === undefined
      ? `There is no room "${written}"; it was left out.${meant(written, site.rooms.keys())}`
      : `There are several rooms "${written}" (${several.join(', ')}); it was left out.`,
  );
  return undefined;
}

function addressFor(written: string | undefined, leave: (why: string) => void): string | undefined {
  if (written === undefined) {
    return undefined;
  }
  if (/^\d{1,9}$/u.test(written)) {
    return `address ${Number(written)}`;
  }
  leave(`"${written}" is no address, which is a whole number; it was left out.`);
  return undefined;
}

function inletFor(
  site: Site,
  equipment: Equipment,
  written: string | undefined,
  leave: (why: string) => void,
): string | undefined {
  if (written === undefined) {
    return undefined;
  }
  const cut = written.lastIndexOf('.');
  const point = resolvePowerPoint(site, {
    owner: written.slice(0, Math.max(0, cut)),
    member: written.slice(cut + 1),
  });
  if (point === undefined) {
    leave(`"${written}" is no way or outlet, written as DB-1.W7; it was left out.`);
    return undefined;
  }
  const fitting = equipment.inlets.filter((inlet) => fitsPoint(inlet, point));
  const [inlet] = fitting;
  if (inlet === undefined || fitting.length > 1) {
    leave(
      inlet === undefined
        ? `No inlet of ${equipment.name} fits ${written}; it was left out.`
        : `Several inlets of ${equipment.name} fit ${written}; it was left out.`,
    );
    return undefined;
  }
  return `inlet ${inlet.name} from ${written}`;
}

function meant(written: string, names: Iterable<string>): string {
  const [near] = nearNames(written, names, 1);
  return near === undefined ? '' : ` Did you mean "${near}"?`;
}
