/** `ferrule check`: what is wrong with sites. */
import { findingsJson } from '../report/findings-json.js';
import { findingsText } from '../report/findings-text.js';
import { countsOf, inReportOrder } from '../report/order.js';
import { coloured, plain } from '../report/style.js';
import { dayIn } from './arguments.js';
import type { Run } from './command.js';
import { openPlaces, pathsIn } from './places.js';
import { texts } from './texts.js';

export const run: Run = (host, args) => {
  const on = dayIn(args, host.today);
  const { workbench, roots } = openPlaces(host, pathsIn(args, texts.check));
  // Every root was read a moment ago, so each of them opens.
  const checked = roots.flatMap((root) => workbench.check(root, on) ?? []);
  const findings = inReportOrder(checked.flatMap((site) => site.findings));
  if (args.values.get('format') === 'json') {
    host.print(findingsJson(findings));
  } else {
    const textByFile = new Map(
      checked.flatMap(({ open }) => open.files).map((file) => [file.path, file.text]),
    );
    host.print(
      findingsText(findings, {
        style: args.flags.has('color') ? coloured : plain,
        textOf: (file) => textByFile.get(file),
        fileCount: textByFile.size,
        on,
      }),
    );
  }
  const counts = countsOf(findings);
  const failing =
    args.values.get('fail-on') === 'warning' ? counts.error + counts.warning : counts.error;
  return failing > 0 ? 1 : 0;
};
