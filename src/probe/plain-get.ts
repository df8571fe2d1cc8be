/** One GET of `/` over a connection that is open already: no cookies, no credentials, nothing followed. */
import { request } from 'node:http';
import type { Socket } from 'node:net';
import { ConnectionFailure, failureOf } from './connection.js';

/** What a page is read of at most, in bytes. */
export const MOST_BYTES = 1_000_000;

export interface Answer {
  readonly status: number;
  /** Bytes of the body that were read. */
  readonly bytes: number;
  /** True where the body was longer than what is read at most. */
  readonly cut: boolean;
  /** The `Location` of a redirect as the device sent it. */
  readonly location: string | undefined;
}

/** Asks for `/` and reads at most 1 MB. The connection is closed afterwards, whatever came of it. */
export function plainGet(socket: Socket, hostHeader: string, timeoutMs: number): Promise<Answer> {
  return new Promise((resolve, reject) => {
    const finish = (end: () => void) => {
      clearTimeout(timer);
      socket.destroy();
      end();
    };
    const fail = (error: unknown) => finish(() => reject(failureOf(error)));
    const timer = setTimeout(
      () => fail(new ConnectionFailure('no-answer', 'ETIMEDOUT')),
      timeoutMs,
    );
    const asking = request({
      createConnection: () => socket,
      method: 'GET',
      path: '/',
      headers: { host: hostHeader, accept: '*/*', connection: 'close' },
    });
    asking.on('error', fail);
    asking.on('response', (response) => {
      let bytes = 0;
      const answer = (cut: boolean) =>
        finish(() =>
          resolve({
            status: response.statusCode ?? 0,
            bytes: Math.min(bytes, MOST_BYTES),
            cut,
            location: response.headers.location,
          }),
        );
      response.on('error', fail);
      response.on('data', (chunk: Buffer) => {
        bytes += chunk.length;
        if (bytes > MOST_BYTES) {
          answer(true);
        }
      });
      response.on('end', () => answer(false));
    });
    asking.end();
  });
}
