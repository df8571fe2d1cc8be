/** The server as a Node process: files from the disk, the day from the clock. */
import { createConnection, ProposedFeatures } from 'vscode-languageserver/node.js';
import { URI } from 'vscode-uri';
import { ferruleFilesBelow, readText, realPathOf } from '../disk/node-files.js';
import { joinPath, type Files } from '../workbench/files.js';
import { startServer } from './server.js';

let folders: readonly string[] = [];
let listed: readonly string[] | undefined;

/** Files by their URI; what is no file on the disk does not exist for other files. */
const files: Files = {
  read: (uri) => {
    const parsed = URI.parse(uri);
    return parsed.scheme === 'file' ? readText(parsed.fsPath) : { kind: 'missing' };
  },
  // Paths in the text have blanks and accents as they are; URIs are compared as editors write them.
  resolve: (from, use) => URI.parse(joinPath(from, use)).toString(),
  real: (uri) => URI.file(realPathOf(URI.parse(uri).fsPath)).toString(),
  list: () => (listed ??= folders.flatMap(urisBelow).sort()),
};

startServer(createConnection(ProposedFeatures.all), {
  files,
  today: () => {
    const now = new Date();
    const twoDigits = (number: number) => String(number).padStart(2, '0');
    return `${now.getFullYear()}-${twoDigits(now.getMonth() + 1)}-${twoDigits(now.getDate())}`;
  },
  setFolders: (uris) => {
    folders = uris;
    listed = undefined;
  },
  filesChanged: () => {
    listed = undefined;
  },
});

function urisBelow(folder: string): string[] {
  return ferruleFilesBelow(URI.parse(folder).fsPath).map((file) => URI.file(file).toString());
}
