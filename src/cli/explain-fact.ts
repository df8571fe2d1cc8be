/** How a computed value came about; apart from the rules' pages, which need no language. */
import { explainedFactText } from '../report/facts-text.js';
import type { Style } from '../report/style.js';
import { explainedFact } from '../workbench/outputs.js';
import { CannotRun } from './cannot-run.js';
import type { Host } from './host.js';
import { openOneSite } from './places.js';
import { texts } from './texts.js';

export function explainFact(host: Host, name: string, place: string, style: Style): string {
  const { open } = openOneSite(host, place);
  const explained = explainedFact(open, name);
  if (explained.kind === 'unknown') {
    throw new CannotRun(texts.unknownFact(name, explained.near));
  }
  return explainedFactText(explained.fact, explained.formula, style);
}
