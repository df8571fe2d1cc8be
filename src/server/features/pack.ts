import { packOf } from '../../workbench/outputs.js';
import type { PackParams, PackResult } from '../protocol.js';
import type { Session } from '../session.js';
import { ifStillWanted } from '../cancelled.js';

export function pack(session: Session): void {
  session.connection.onRequest(
    'ferrule/pack',
    ifStillWanted(({ uri, on }: PackParams): PackResult => {
      const root = session.workbench.rootsOf(uri)[0];
      const checked =
        root === undefined ? undefined : session.workbench.check(root, on ?? session.host.today());
      if (checked === undefined) {
        return {
          revision: session.revision,
          folder: 'pack',
          files: [],
          problem: 'This file cannot be read.',
        };
      }
      const settings = checked.open.site.settings;
      if (settings === undefined) {
        return {
          revision: session.revision,
          folder: 'pack',
          files: [],
          problem: 'This file belongs to no site, so there is nothing to pack.',
        };
      }
      const name = (settings.title ?? settings.name)
        .replaceAll(/[^\p{L}\p{N}]+/gu, '-')
        .replaceAll(/^-|-$/gu, '');
      return {
        revision: session.revision,
        folder: `${name === '' ? settings.name : name}-pack`,
        files: packOf(checked).map(({ path, text }) => ({ path, text })),
      };
    }),
  );
}
