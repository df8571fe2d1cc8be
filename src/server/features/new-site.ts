/** The files of a new site; the client writes them. */
import { newSite as filesOf } from '../../workbench/new-site.js';
import type { NewSiteParams, NewSiteResult } from '../protocol.js';
import type { Session } from '../session.js';

export function newSite(session: Session): void {
  session.connection.onRequest('ferrule/newSite', ({ name }: NewSiteParams): NewSiteResult => {
    const files = filesOf(name).map(({ path, text }) => ({ path, text }));
    // The site file stands last.
    return { files, site: files[files.length - 1]!.path };
  });
}
