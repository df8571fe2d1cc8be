/** What the features of one running server share: the workbench, the day, and what was told to the client. */
import type { Connection } from 'vscode-languageserver';
import type { OtherFiles } from '../workbench/editing/completion.js';
import type { Files } from '../workbench/files.js';
import type { SourceFile } from '../workbench/source-file.js';
import { offsetAt, rangeOf } from '../workbench/source-file.js';
import { Workbench, type CheckedSite } from '../workbench/workbench.js';
import type { Position, Range } from './protocol.js';

/** What a host gives the server beside a connection. */
export interface Host {
  readonly files: Files;
  /** The day on which sites are judged, ISO; asked anew for each check. */
  readonly today: () => string;
  /** Tells the host where the client's folders are. */
  readonly setFolders: (uris: readonly string[]) => void;
  /** Files appeared, changed or went: what the host remembers of them may be stale. */
  readonly filesChanged: () => void;
}

/** What the client told that it can do; where it said nothing, it cannot. */
export interface ClientAbilities {
  readonly snippets: boolean;
  readonly createsFiles: boolean;
  readonly refreshesLenses: boolean;
  readonly refreshesHints: boolean;
  readonly refreshesTokens: boolean;
  readonly showsProgress: boolean;
}

const noAbilities: ClientAbilities = {
  snippets: false,
  createsFiles: false,
  refreshesLenses: false,
  refreshesHints: false,
  refreshesTokens: false,
  showsProgress: false,
};

export class Session {
  readonly workbench: Workbench;
  client = noAbilities;
  /** Called after each check with the files whose change asked for it. */
  onChecked: (changed: readonly string[]) => void = () => undefined;
  /** Called when a file is closed, to forget what was kept for it. */
  readonly onClosed: ((uri: string) => void)[] = [];
  /** Counts re-checks. */
  revision = 0;

  constructor(
    readonly connection: Connection,
    readonly host: Host,
  ) {
    this.workbench = new Workbench(host.files);
  }

  /** The site that a file belongs to, judged today; the first where several use it. */
  siteOf(uri: string): CheckedSite | undefined {
    const root = this.workbench.rootsOf(uri)[0];
    return root === undefined ? undefined : this.workbench.check(root, this.host.today());
  }

  /** Every site that one of some files belongs to. */
  sitesOf(uris: Iterable<string>): CheckedSite[] {
    return this.workbench.rootsOfAll(uris).flatMap((root) => {
      const checked = this.workbench.check(root, this.host.today());
      return checked === undefined ? [] : [checked];
    });
  }

  /** A site with the file and offset of a position in it. */
  at(
    uri: string,
    position: Position,
  ): { checked: CheckedSite; file: SourceFile; offset: number } | undefined {
    const checked = this.siteOf(uri);
    const file = checked?.open.files.find((one) => one.path === uri);
    return checked && file && { checked, file, offset: offsetAt(file, position) };
  }
}

export function rangeIn(file: SourceFile, start: number, end: number): Range {
  return rangeOf(file, start, end);
}

/** Files of the client's folders, looked into only when a name of them may be wanted. */
export function otherFiles({ workbench }: Session): OtherFiles {
  return {
    paths: () => workbench.paths(),
    open: (path) => {
      const open = workbench.open(path);
      return 'failed' in open ? undefined : open;
    },
  };
}
