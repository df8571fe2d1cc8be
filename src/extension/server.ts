import type { CancellationToken, Disposable, Event } from 'vscode';
import type { ChangedParams, FerruleRequests } from '../server/protocol.js';

/** The server as the features see it, whatever host runs it. */
export interface Server extends Disposable {
  /** Starts the server first where needed; rejects when it does not run or fails. */
  request<Method extends keyof FerruleRequests>(
    method: Method,
    params: FerruleRequests[Method]['params'],
    token?: CancellationToken,
  ): Promise<FerruleRequests[Method]['result']>;
  /** After each re-check. */
  readonly onChanged: Event<ChangedParams>;
  /** After each start, restarts included: what was asked before has to be asked again. */
  readonly onStarted: Event<void>;
  restart(): Promise<void>;
  showLog(): void;
}
