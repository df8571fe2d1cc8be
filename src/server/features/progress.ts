import { progressOf } from '../../workbench/progress.js';
import { taskText } from '../../workbench/progress-texts.js';
import { fileRangeOf } from '../../workbench/workbench.js';
import { ifStillWanted } from '../cancelled.js';
import type { ProgressParams, ProgressResult } from '../protocol.js';
import type { Session } from '../session.js';

/** How far the commissioning of a site is; no area where a file belongs to none. */
export function progress(session: Session): void {
  session.connection.onRequest(
    'ferrule/progress',
    ifStillWanted(({ uri }: ProgressParams): ProgressResult => {
      const checked = session.siteOf(uri);
      const open = checked?.open;
      if (open?.site.settings === undefined) {
        return { revision: session.revision, areas: [] };
      }
      return {
        revision: session.revision,
        areas: progressOf(open).map(({ area, tasks }) => ({
          title: area ?? null,
          tasks: tasks.map((task) => {
            const at = fileRangeOf(open, task.place);
            return {
              text: taskText(task),
              state: task.state,
              ...(at === undefined ? {} : { uri: at.file, range: at.range }),
            };
          }),
        })),
      };
    }),
  );
}
