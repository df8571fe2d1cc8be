/** `ferrule diagnose`: which faults explain what was seen on a site. */
import { siteDiagnosis } from '../workbench/diagnosis.js';
import { CannotRun } from './cannot-run.js';
import type { Run } from './command.js';
import { diagnosisJson, diagnosisText } from './diagnosis-text.js';
import { openOneSite, pathIn } from './places.js';
import type { OneSite } from './places.js';
import { diagnoseTexts as texts } from './texts-diagnose.js';

export const run: Run = (host, args) => {
  const opened = openOneSite(host, pathIn(args, texts.diagnose));
  const seen = args.values.get('seen');
  const diagnosis = siteDiagnosis(seen === undefined ? opened.open : withSeen(opened, seen));
  host.print(
    args.values.get('format') === 'json' ? diagnosisJson(diagnosis) : diagnosisText(diagnosis),
  );
  return diagnosis.deviating.length > 0 ? 1 : 0;
};

/** The site with further observations behind its own; they are read as lines of its text are. */
function withSeen({ workbench, root, open }: OneSite, seen: string): OneSite['open'] {
  const lines = seen
    .split(/[;\n]/u)
    .map((line) => line.trim())
    .filter((line) => line !== '');
  const before = open.site.observations.length;
  const [file] = open.files;
  let text = file!.text;
  for (const [index, line] of lines.entries()) {
    text += `\nobserved ${line.replace(/^observed\s+/u, '')}\n`;
    workbench.setText(root, text);
    const now = workbench.open(root);
    if ('failed' in now || now.site.observations.length !== before + index + 1) {
      throw new CannotRun(texts.unreadSeen(line));
    }
    open = now;
  }
  return open;
}
