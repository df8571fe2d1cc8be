/** The first check of a large folder takes a moment, and the client is told so. */
import type { Session } from './session.js';

/** Fewer files than this are checked before a sign of it could be read. */
const fewFiles = 50;

export async function checkAtStart(session: Session, check: () => void): Promise<void> {
  const count = session.workbench.paths().length;
  if (!session.client.showsProgress || count < fewFiles) {
    check();
    return;
  }
  try {
    const progress = await session.connection.window.createWorkDoneProgress();
    progress.begin('Ferrule', undefined, `Checking ${count} files`, false);
    const then = session.onChecked;
    session.onChecked = (changed) => {
      session.onChecked = then;
      progress.done();
      then(changed);
    };
  } catch (error) {
    session.connection.console.info(`The client shows no progress: ${String(error)}`);
  }
  check();
}
