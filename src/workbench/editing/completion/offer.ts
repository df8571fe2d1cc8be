/** What completion offers: one shape for words, names, numbers and whole statements. */
import type { TextChange } from '../../../language/write.js';

export interface Offer {
  /** What the list shows and what is compared with the typed word. */
  readonly text: string;
  readonly kind: 'keyword' | 'name' | 'member' | 'value' | 'address' | 'unit' | 'statement';
  readonly detail: string;
  /** Offers with a lower rank stand first. */
  readonly rank: number;
  /** Where it belongs, for the end of the line: a room, a file. */
  readonly where?: string;
  /** What is inserted where that is more than `text`. */
  readonly inserts?: readonly InsertPart[];
  /** Changes elsewhere that belong to it. */
  readonly also?: readonly TextChange[];
  /** The dotted name whose description is shown beside the list. */
  readonly about?: string;
  /** Somebody has it already: shown so that nobody wonders where it went. */
  readonly taken?: true;
  readonly deprecated?: true;
}

/** A piece of inserted text, or a place at which the writer stops: its usual text first. */
export type InsertPart = string | { readonly stop: readonly [string, ...string[]] };

/** Whether inserting an offer needs an editor that knows tab stops. */
export function hasStops(offer: Offer): boolean {
  return offer.inserts?.some((one) => typeof one !== 'string') === true;
}

/** What an offer inserts where nobody changes the stops. */
export function plainText(offer: Offer): string {
  return (
    offer.inserts?.map((one) => (typeof one === 'string' ? one : one.stop[0])).join('') ??
    offer.text
  );
}

/** The same with the protocol's tab stops. */
export function snippetText(offer: Offer): string {
  let number = 0;
  return (offer.inserts ?? [offer.text])
    .map((one) => {
      if (typeof one === 'string') {
        return one.replaceAll(/[\\$}]/gu, String.raw`\$&`);
      }
      number++;
      return one.stop.length === 1
        ? `\${${number}:${one.stop[0].replaceAll(/[\\$}]/gu, String.raw`\$&`)}}`
        : `\${${number}|${one.stop.map((text) => text.replaceAll(/[\\,|$}]/gu, String.raw`\$&`)).join(',')}|}`;
    })
    .join('');
}
