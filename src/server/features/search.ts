import { SymbolKind, type WorkspaceSymbol } from 'vscode-languageserver';
import { search as searchIn } from '../../workbench/editing/search.js';
import type { Session } from '../session.js';
import { symbolKinds } from './outline.js';
import { ifStillWanted } from '../cancelled.js';

/** Names, host addresses and unit addresses over every site of the folder. */
export function search(session: Session): void {
  session.connection.onWorkspaceSymbol(
    ifStillWanted(({ query }): WorkspaceSymbol[] => {
      const found = new Map<string, WorkspaceSymbol>();
      for (const root of session.workbench.siteRoots()) {
        const open = session.workbench.open(root);
        if ('failed' in open) {
          continue;
        }
        for (const hit of searchIn(open, query)) {
          const symbol = {
            name: hit.name,
            kind: hit.kind === 'host' ? SymbolKind.Variable : symbolKinds[hit.kind],
            containerName: hit.detail,
            location: { uri: hit.at.file, range: hit.at.range },
          };
          found.set(JSON.stringify(symbol.location), symbol);
        }
      }
      return [...found.values()];
    }),
  );
}
