/** How far commissioning is, area by area, for a terminal. */
import type { AreaProgress } from '../workbench/progress.js';
import { taskText } from '../workbench/progress-texts.js';
import { recordTexts as texts } from './texts-record.js';

/** How many of the things to do next are named. */
const MOST_NEXT = 3;

export function progressText(areas: readonly AreaProgress[]): string {
  if (areas.length === 0) {
    return texts.nothingToSee;
  }
  return areas
    .map(({ area, tasks }) => {
      const of = (state: string) => tasks.filter((task) => task.state === state);
      const [found, missing, open] = [of('found'), of('missing'), of('open')];
      const next = open.slice(0, MOST_NEXT);
      return [
        texts.areaCounts(
          area ?? texts.noArea,
          found.length,
          tasks.length,
          missing.length,
          open.length,
        ),
        ...missing.map((task) => `  ${texts.differs(taskText(task))}`),
        ...next.map((task) => `  ${texts.next(taskText(task))}`),
        ...(open.length > next.length ? [`  ${texts.more(open.length - next.length)}`] : []),
        '',
      ].join('\n');
    })
    .join('');
}
