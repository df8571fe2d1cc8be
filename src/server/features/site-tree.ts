/** A site as a tree of what it consists of. */
import { siteTreeOf } from '../../workbench/editing/site-tree.js';
import { ifStillWanted } from '../cancelled.js';
import type { SiteTreeParams, SiteTreeResult } from '../protocol.js';
import type { Session } from '../session.js';

export function siteTree(session: Session): void {
  session.connection.onRequest(
    'ferrule/siteTree',
    ifStillWanted(({ uri }: SiteTreeParams): SiteTreeResult => {
      const checked = session.siteOf(uri);
      return {
        revision: session.revision,
        groups: checked === undefined ? [] : siteTreeOf(checked),
      };
    }),
  );
}
