/** Moves what belongs to one floor alone into a file for the floor. */
import type { TextChange } from '../../../language/write.js';
import type { Declaration } from '../../../model/records.js';
import { nameOf, roomOf, type Site } from '../../../model/site.js';
import type { OpenSite } from '../../open-site.js';
import type { SourceFile, SourcePiece } from '../../source-file.js';
import { addUseChange } from '../use-line.js';
import { relativePath } from '../use-path.js';
import type { Refactor } from './refactor.js';

/** Undefined where the file has fewer than two floors. `isTaken`: whether a path is a file already. */
export function splitByFloor(
  open: OpenSite,
  file: SourceFile,
  isTaken: (path: string) => boolean,
): Refactor | undefined {
  const floors = new Map<string, SourcePiece[]>();
  for (const piece of file.pieces) {
    const [declaration, ...others] = piece.lowered.declarations;
    const floor =
      declaration === undefined || others.length > 0 || piece.lowered.problems.length > 0
        ? undefined
        : floorOf(open.site, declaration.record);
    if (floor !== undefined) {
      floors.set(floor, [...(floors.get(floor) ?? []), piece]);
    }
  }
  const own = [...floors].filter(([floor]) =>
    floors.get(floor)!.some((piece) => areaIn(piece) === floor),
  );
  if (own.length < 2) {
    return undefined;
  }
  const lineEnd = file.text.includes('\r\n') ? '\r\n' : '\n';
  const taken = new Set<string>();
  const newFiles = own.map(([floor, pieces]) => {
    const path = freePath(file.path, floor, (one) => taken.has(one) || isTaken(one));
    taken.add(path);
    return {
      path,
      text: pieces.map((piece) => wholeText(piece)).join(lineEnd + lineEnd) + lineEnd,
    };
  });
  const uses = newFiles.map(({ path }) => addUseChange(file, relativePath(file.path, path)));
  const use: TextChange = {
    ...uses[0]!,
    text: uses[0]!.text.startsWith(lineEnd)
      ? uses.map(({ text }) => text).join('')
      : uses.map(({ text }) => text.trimEnd()).join(lineEnd) + lineEnd + lineEnd,
  };
  const removals = own
    .flatMap(([, pieces]) => pieces)
    .map((piece): TextChange => {
      const start = piece.start;
      const end = start + wholeText(piece).length;
      const gap = /^(?:[ \t]*\r?\n)+/u.exec(file.text.slice(end))?.[0].length ?? 0;
      return { file: file.path, start, end: end + gap, text: '' };
    })
    .sort((one, other) => one.start - other.start);
  return {
    title: `Split by floor: ${newFiles.length} new files, ${newFiles.map(({ path }) => path.slice(path.lastIndexOf('/') + 1)).join(', ')}`,
    kind: 'extract',
    changes: [use, ...removals],
    newFiles,
  };
}

/** The declaration with the comment behind its last line; section comments below stay in the file. */
function wholeText(piece: SourcePiece): string {
  const end = piece.lowered.declarations[0]!.origins.get('all')!.end;
  const lineEnd = piece.text.indexOf('\n', end);
  return piece.text.slice(0, lineEnd < 0 ? piece.text.length : lineEnd).trimEnd();
}

function areaIn(piece: SourcePiece): string | undefined {
  const record = piece.lowered.declarations[0]?.record;
  return record?.kind === 'area' ? record.name : undefined;
}

/** The one floor that a declaration belongs to; undefined for what concerns several, or none. */
function floorOf(site: Site, record: Declaration): string | undefined {
  const isCounted = 'name' in record && site.byName.get(nameOf(record) ?? '')?.record === record;
  if (!isCounted) {
    return undefined;
  }
  switch (record.kind) {
    case 'area':
      return record.name;
    case 'device':
    case 'board':
    case 'isolator':
      return roomOf(site, record)?.area.name;
    case 'bus':
    case 'feed':
      return common(record.landings.map(({ device }) => floorOfDevice(site, device)));
    case 'zone':
      return common(record.units.map((unit) => floorOfDevice(site, unit)));
    default:
      return undefined;
  }
}

function floorOfDevice(site: Site, name: string): string | undefined {
  const device = site.devices.get(name);
  return device && roomOf(site, device)?.area.name;
}

function common(floors: readonly (string | undefined)[]): string | undefined {
  return new Set(floors).size === 1 ? floors[0] : undefined;
}

function freePath(file: string, floor: string, isTaken: (path: string) => boolean): string {
  const folder = file.slice(0, file.lastIndexOf('/') + 1);
  const stem = floor.toLowerCase();
  let path = `${folder}${stem}.ferrule`;
  for (let number = 2; isTaken(path); number++) {
    path = `${folder}${stem}-${number}.ferrule`;
  }
  return path;
}
