/** What a command needs from the world. */
export interface Host {
  /** The command line's own file: what further threads are started with. */
  readonly program: URL;
  /** The folder that paths are relative to. */
  readonly folder: string;
  /** Today, ISO, where the person is. */
  readonly today: string;
  readonly print: (text: string) => void;
  /** For remarks beside the result. */
  readonly remark: (text: string) => void;
}

/** 0: done, nothing in the way. 1: done, and something is wrong with the site. 2: could not run. */
export type ExitCode = 0 | 1 | 2;
