/** A site as a tree of what it consists of. */
import { siteGroups, siteLevel } from '../../workbench/editing/site-tree.js';
import { ifStillWanted } from '../cancelled.js';
import type { SiteTreeParams, SiteTreeResult } from '../protocol.js';
import type { Session } from '../session.js';

export function siteTree(session: Session): void {
  session.connection.onRequest(
    'ferrule/siteTree',
    ifStillWanted(({ uri, below }: SiteTreeParams): SiteTreeResult => {
      const checked = session.siteOf(uri);
      const nodes =
        checked === undefined
          ? []
          : below === undefined
            ? siteGroups(checked)
            : siteLevel(checked, below);
      return { revision: session.revision, nodes };
    }),
  );
}
