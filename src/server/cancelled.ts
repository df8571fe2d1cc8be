/** Long requests give way: what the client no longer wants is not computed. */
import { LSPErrorCodes, ResponseError, type CancellationToken } from 'vscode-languageserver';

/**
 * Lets messages in before a long computation starts, so that a request that was taken back while it
 * waited, as happens while somebody types, costs nothing.
 */
export function ifStillWanted<Params, Result>(
  answer: (params: Params) => Result,
): (params: Params, token: CancellationToken) => Promise<Result | ResponseError> {
  return async (params, token) => {
    // A message that waits is handed over between two turns.
    await nextTurn();
    await nextTurn();
    return token.isCancellationRequested
      ? new ResponseError(LSPErrorCodes.RequestCancelled, 'The request was taken back.')
      : answer(params);
  };
}

function nextTurn(): Promise<void> {
  return new Promise((done) => setTimeout(done));
}
