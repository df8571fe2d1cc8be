/** A language server as the benchmark sees it. */
import { readFileSync } from 'node:fs';

export interface PeerFiles {
  readonly files: Readonly<Record<string, string>>;
  /** The file that is open and edited. */
  readonly edited: string;
}

export interface Peer {
  /**
   * Replaces some characters and waits for diagnostics of the file that show errors, or none.
   * @returns Milliseconds from the change to those diagnostics.
   */
  change(
    offset: number,
    removed: number,
    inserted: string,
    until: 'errors' | 'no errors',
  ): Promise<number>;
  /** Other requests, by name, in milliseconds. */
  requests?(): Promise<Readonly<Record<string, number>>>;
  /** The most memory that the process ever held, MiB. */
  peakMiB(): number;
  stop(): Promise<void>;
}

/** VmHWM of Linux; not a number elsewhere. */
export function peakMiBOf(pid: number): number {
  try {
    const status = readFileSync(`/proc/${pid}/status`, 'utf8');
    return Number(/^VmHWM:\s+(\d+) kB/mu.exec(status)?.[1]) / 1024;
  } catch {
    return Number.NaN;
  }
}

/** Lines and columns, from 0, of offsets in a text that changes by small edits within lines. */
export class Lines {
  readonly #starts: number[];

  constructor(text: string) {
    this.#starts = [0, ...[...text.matchAll(/\n/gu)].map(({ index }) => index + 1)];
  }

  at(offset: number): { line: number; character: number } {
    let low = 0;
    let high = this.#starts.length - 1;
    while (low < high) {
      const middle = Math.ceil((low + high) / 2);
      if (this.#starts[middle]! <= offset) {
        low = middle;
      } else {
        high = middle - 1;
      }
    }
    return { line: low, character: offset - this.#starts[low]! };
  }
}
