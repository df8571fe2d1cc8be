/** Phrases as printed text. */
import type { Phrase } from '../../documents/document.js';
import { markedText } from '../../documents/render/numbers.js';

export function phraseText(phrase: Phrase): string {
  return phrase.map((each) => (typeof each === 'string' ? each : markedText(each))).join('');
}
