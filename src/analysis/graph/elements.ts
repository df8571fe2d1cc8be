/** What on a site may fail, and one text for each such thing. */

/** Something whose failure is asked about. */
export type Element =
  /** A device, a board, a way, an outlet or an isolator by its name: `FC-1`, `DB-1.W7`, `PS-1.out`, `Q1`. */
  | { readonly kind: 'named'; readonly name: string }
  /** A cable of a bus or feed, counted from 0 in the order of `segmentsOf`. */
  | { readonly kind: 'cable'; readonly run: string; readonly position: number }
  /** The cable of an inlet line. */
  | { readonly kind: 'line'; readonly device: string; readonly index: number }
  /** The cable of a host's line. */
  | { readonly kind: 'host'; readonly network: string; readonly index: number };

/** What may fail besides, in a network that is built in detail. */
export type FineElement =
  | Element
  /** How a device is landed: it no longer hears or feeds the line, which still passes its terminals. */
  | { readonly kind: 'landing'; readonly bus: string; readonly index: number }
  /** Whether a port understands what it hears. */
  | { readonly kind: 'voice'; readonly device: string; readonly member: string };

/** One text for an element. */
export function elementKey(element: FineElement): string {
  switch (element.kind) {
    case 'named':
      return `named ${element.name}`;
    case 'cable':
      return `cable ${element.run} ${element.position}`;
    case 'line':
      return `line ${element.device} ${element.index}`;
    case 'host':
      return `host ${element.network} ${element.index}`;
    case 'landing':
      return `landing ${element.bus} ${element.index}`;
    case 'voice':
      return `voice ${element.device}.${element.member}`;
  }
}
