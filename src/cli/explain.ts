/** `ferrule explain`: a rule's page, or how a computed value came about. */
import { pageText } from '../report/page-text.js';
import { coloured, plain } from '../report/style.js';
import { nearNames } from '../workbench/near-names.js';
import { ruleNames, rulePage } from '../workbench/rule-pages.js';
import { CannotRun } from './cannot-run.js';
import type { Run } from './command.js';
import type { ExitCode } from './host.js';
import { texts } from './texts.js';

export const run: Run = async (host, args): Promise<ExitCode> => {
  const [name, place, extra] = args.positionals;
  if (name === undefined) {
    throw new CannotRun(texts.missingName(texts.explain.usage));
  }
  if (extra !== undefined) {
    throw new CannotRun(texts.tooMany(extra, texts.explain.usage));
  }
  const style = args.flags.has('color') ? coloured : plain;
  const page = rulePage(name);
  if (page !== undefined) {
    host.print(pageText(page, style));
    return 0;
  }
  if (!name.includes('.')) {
    throw new CannotRun(texts.unknownRule(name, nearNames(name, ruleNames)));
  }
  const { explainFact } = await import('./explain-fact.js');
  host.print(explainFact(host, name, place ?? '.', style));
  return 0;
};
