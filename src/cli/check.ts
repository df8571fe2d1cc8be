/** `ferrule check`: what is wrong with sites. */
import path from 'node:path';
import { readText } from '../disk/node-files.js';
import { findingsJson } from '../report/findings-json.js';
import { findingsText } from '../report/findings-text.js';
import { countsOf, inReportOrder } from '../report/order.js';
import { coloured, plain } from '../report/style.js';
import { dayIn } from './arguments.js';
import { checkRoots } from './check-roots.js';
import type { Run } from './command.js';
import { openPlaces, pathsIn } from './places.js';
import { rootsOfShard, shardIn } from './shard.js';
import { texts } from './texts.js';

export const run: Run = async (host, args) => {
  const on = dayIn(args, host.today);
  const shard = shardIn(args);
  const places = pathsIn(args, texts.check);
  const { workbench, roots } = openPlaces(host, places);
  const task = { folder: host.folder, places, on };
  const checked = await checkRoots(host, workbench, rootsOfShard(roots, shard), task);
  const findings = inReportOrder(checked.findings);
  if (args.values.get('format') === 'json') {
    host.print(findingsJson(findings, shard));
  } else {
    const kept = new Map<string, string | undefined>();
    const textOf = (file: string) => {
      if (!kept.has(file)) {
        const content = readText(path.resolve(host.folder, file));
        kept.set(file, content.kind === 'text' ? content.text : undefined);
      }
      return kept.get(file);
    };
    host.print(
      findingsText(findings, {
        style: args.flags.has('color') ? coloured : plain,
        textOf,
        fileCount: checked.files.size,
        on,
      }),
    );
  }
  const counts = countsOf(findings);
  const failing =
    args.values.get('fail-on') === 'warning' ? counts.error + counts.warning : counts.error;
  return failing > 0 ? 1 : 0;
};
