/** yaml-language-server with a schema for the file. */
import path from 'node:path';
import { URI } from 'vscode-uri';
import { startLanguageServer } from './language-server.js';
import type { Peer, PeerFiles } from './peer.js';

export function startYaml(files: PeerFiles): Promise<Peer> {
  return startLanguageServer(files, {
    command: [
      process.execPath,
      'bench/node_modules/yaml-language-server/bin/yaml-language-server',
      '--stdio',
    ],
    language: 'yaml',
    settings: (folder) => ({
      yaml: {
        schemas: {
          [URI.file(path.join(folder, 'topology.schema.json')).toString()]: 'topology.yaml',
        },
        schemaStore: { enable: false },
        validate: true,
      },
    }),
  });
}
