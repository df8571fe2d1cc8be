/** The refactorings that fit a position. */
import { reorderedBus } from '../fixes.js';
import type { OpenSite } from '../open-site.js';
import { cursorAt } from './cursor.js';
import { movesOf } from './refactors/move-landing.js';
import type { Refactor } from './refactors/refactor.js';
import { renumbering } from './refactors/renumber.js';
import { splitByFloor } from './refactors/split-by-floor.js';

export type { Refactor } from './refactors/refactor.js';

export function refactorsAt(
  open: OpenSite,
  path: string,
  offset: number,
  isTaken: (path: string) => boolean,
): Refactor[] {
  const cursor = cursorAt(open, path, offset);
  const record = cursor?.declaration?.record;
  if (cursor === undefined || record === undefined) {
    return [];
  }
  if (record.kind === 'site' || record.kind === 'area') {
    return [splitByFloor(open, cursor.file, isTaken)].filter((one) => one !== undefined);
  }
  if (record.kind !== 'bus' || open.site.buses.get(record.name) !== record) {
    return [];
  }
  const landing = /^land\/(\d+)/u.exec(cursor.part ?? '')?.[1];
  const reordered = reorderedBus(open, record.name);
  return [
    ...(landing === undefined ? [] : movesOf(open, record, Number(landing))),
    ...(reordered === undefined || reordered.changes.length === 0
      ? []
      : [
          {
            title: reordered.title,
            kind: 'rewrite' as const,
            changes: reordered.changes,
            newFiles: [],
          },
        ]),
    ...[renumbering(open, record)].filter((one) => one !== undefined),
  ];
}
