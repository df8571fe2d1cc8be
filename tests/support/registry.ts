/** A registry of packages on this computer alone, as npm asks one, for the time of a test. */
import { createHash } from 'node:crypto';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';

export interface PackedVersion {
  readonly name: string;
  readonly version: string;
  readonly tarball: Buffer;
}

/** Serves packed versions on a free port of the loopback address. */
export async function startRegistry(
  versions: readonly PackedVersion[],
): Promise<{ readonly url: string; readonly stop: () => Promise<void> }> {
  const server: Server = createServer((request, response) => {
    const path = decodeURIComponent(request.url ?? '')
      .replace(/^\//u, '')
      .split('?')[0]!;
    const packed = versions.find((one) => path === `${one.name}/-/${one.version}.tgz`);
    const own = versions.filter((one) => one.name === path);
    if (packed !== undefined) {
      response.end(packed.tarball);
    } else if (own.length > 0) {
      response.setHeader('content-type', 'application/json');
      response.end(JSON.stringify(listOf(own)));
    } else {
      response.statusCode = 404;
      response.end('{}');
    }
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const url = `http://127.0.0.1:${(server.address() as AddressInfo).port}/`;
  const listOf = (own: readonly PackedVersion[]) => ({
    name: own[0]!.name,
    'dist-tags': { latest: own.at(-1)!.version },
    versions: Object.fromEntries(
      own.map(({ name, version, tarball }) => [
        version,
        {
          name,
          version,
          dist: {
            tarball: `${url}${name}/-/${version}.tgz`,
            integrity: `sha512-${createHash('sha512').update(tarball).digest('base64')}`,
          },
        },
      ]),
    ),
  });
  return {
    url,
    stop: () =>
      new Promise((resolve) => {
        server.closeAllConnections();
        server.close(() => {
          resolve();
        });
      }),
  };
}
