/** One connection to a host, bounded in time, and what its failure means. */
import { createConnection, type Socket } from 'node:net';
import { connect, type ConnectionOptions, type TLSSocket } from 'node:tls';

/** Why a connection came to nothing. */
export type ConnectionProblem =
  | 'nothing-listens'
  | 'no-answer'
  | 'unreachable'
  | 'closed'
  | 'speaks-http'
  | 'speaks-https'
  | 'old-tls'
  | 'tls-failed'
  | 'no-http';

/** A failure with the code that the system or the TLS library gave, for whoever looks further. */
export class ConnectionFailure extends Error {
  override readonly name = 'ConnectionFailure';
  constructor(
    readonly problem: ConnectionProblem,
    readonly code: string,
  ) {
    super(`${problem} (${code})`);
  }
}

export interface Endpoint {
  /** An IP address, or a name that this computer looks up. */
  readonly address: string;
  readonly port: number;
}

/** Opens a TCP connection. */
export async function openTcp(to: Endpoint, timeoutMs: number): Promise<Socket> {
  const socket = createConnection({ host: to.address, port: to.port });
  await established(socket, 'connect', timeoutMs);
  return socket;
}

/**
 * Opens a TLS connection that accepts every certificate and every version, since the purpose is to
 * tell what is wrong with them. Nothing secret is ever sent over it.
 *
 * `name` is the host of the page: it is sent as server name where it is no address (RFC 6066, 3).
 */
export async function openTls(
  to: Endpoint,
  name: string | undefined,
  timeoutMs: number,
): Promise<TLSSocket> {
  const socket = connect({
    ...readAnything,
    host: to.address,
    port: to.port,
    ...(name === undefined ? {} : { servername: name }),
  });
  await established(socket, 'secureConnect', timeoutMs);
  return socket;
}

/** Security level 0 lets short keys and old hashes through, so that they can be named. */
const readAnything: ConnectionOptions = {
  rejectUnauthorized: false,
  minVersion: 'TLSv1',
  ciphers: 'DEFAULT:@SECLEVEL=0',
};

/** What an error of a socket means. */
export function failureOf(error: unknown): ConnectionFailure {
  if (error instanceof ConnectionFailure) {
    return error;
  }
  const { code = 'unknown', message = '' } = error as NodeJS.ErrnoException;
  return new ConnectionFailure(problemOf(code, message), code);
}

function problemOf(code: string, message: string): ConnectionProblem {
  if (code.startsWith('HPE_')) {
    return 'no-http';
  }
  if (/wrong.version.number|packet.length.too.long|http.request/iu.test(`${code} ${message}`)) {
    return 'speaks-http';
  }
  if (/PROTOCOL_VERSION|UNSUPPORTED_PROTOCOL|VERSION_TOO_LOW/iu.test(code)) {
    return 'old-tls';
  }
  switch (code) {
    case 'ECONNREFUSED':
      return 'nothing-listens';
    case 'ETIMEDOUT':
      return 'no-answer';
    case 'ECONNRESET':
    case 'EPIPE':
      return 'closed';
    case 'EHOSTUNREACH':
    case 'ENETUNREACH':
    case 'EADDRNOTAVAIL':
    case 'ENOTFOUND':
    case 'EAI_AGAIN':
    case 'EACCES':
      return 'unreachable';
    default:
      return code === 'EPROTO' || code.startsWith('ERR_SSL') || code.startsWith('ERR_TLS')
        ? 'tls-failed'
        : 'unreachable';
  }
}

function established(
  socket: Socket,
  event: 'connect' | 'secureConnect',
  timeoutMs: number,
): Promise<void> {
  return new Promise((resolve, reject) => {
    const fail = (error: unknown) => {
      clearTimeout(timer);
      socket.destroy();
      reject(failureOf(error));
    };
    const timer = setTimeout(
      () => fail(new ConnectionFailure('no-answer', 'ETIMEDOUT')),
      timeoutMs,
    );
    // The listener stays, because a socket may also fail later, when nobody waits for it.
    socket.on('error', fail);
    socket.once('close', () => fail(new ConnectionFailure('closed', 'ECONNRESET')));
    socket.once(event, () => {
      clearTimeout(timer);
      resolve();
    });
  });
}
