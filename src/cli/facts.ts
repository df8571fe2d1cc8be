/** `ferrule facts`: every computed value of a site. */
import { factsJson } from '../report/facts-json.js';
import { factsText } from '../report/facts-text.js';
import { coloured, plain } from '../report/style.js';
import { factsOf } from '../workbench/outputs.js';
import type { Run } from './command.js';
import { openOneSite, pathIn } from './places.js';
import { texts } from './texts.js';

export const run: Run = (host, args) => {
  const { open } = openOneSite(host, pathIn(args, texts.facts));
  const facts = factsOf(open);
  host.print(
    args.values.get('format') === 'json'
      ? factsJson(facts)
      : factsText(facts, args.flags.has('color') ? coloured : plain),
  );
  return 0;
};
