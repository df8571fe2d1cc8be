/** Tells the client that values shown in other open files may have changed. */
import type { Session } from './session.js';

/** A client asks anew for all that it shows, so it is told when typing pauses. */
const pauseMs = 250;

export class Refresh {
  private timer: ReturnType<typeof setTimeout> | undefined;

  constructor(
    private readonly session: Session,
    private readonly openUris: () => readonly string[],
  ) {}

  /** After a check for edits in some files: the client asks itself about those. */
  afterCheck(changed: readonly string[]): void {
    if (this.openUris().every((uri) => changed.includes(uri) && changed.length === 1)) {
      return;
    }
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.tell(), pauseMs);
  }

  private tell(): void {
    const { client, connection } = this.session;
    const failed = (error: unknown) =>
      connection.console.info(`The client did not refresh: ${String(error)}`);
    if (client.refreshesLenses) {
      connection.sendRequest('workspace/codeLens/refresh').catch(failed);
    }
    if (client.refreshesHints) {
      connection.languages.inlayHint.refresh().catch(failed);
    }
    if (client.refreshesTokens) {
      Promise.resolve(connection.languages.semanticTokens.refresh()).catch(failed);
    }
  }
}
