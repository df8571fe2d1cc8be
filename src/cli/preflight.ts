/** `ferrule preflight`: reaches each web page of a site and tells everything that is wrong with it. */
import { rootCertificates } from 'node:tls';
import path from 'node:path';
import { readText } from '../disk/node-files.js';
import { visitPage } from '../probe/page-visit.js';
import { jsonText, schemaVersion } from '../report/json.js';
import type { Observation } from '../workbench/observation-lines.js';
import { namedHosts, statedPages } from '../workbench/on-site.js';
import type { StatedPage } from '../workbench/on-site.js';
import type { OpenSite } from '../workbench/open-site.js';
import type { Arguments } from './arguments.js';
import { CannotRun } from './cannot-run.js';
import type { Run } from './command.js';
import type { Host } from './host.js';
import { mergeInto, observationTexts } from './merge-into.js';
import { openOneSite, pathIn } from './places.js';
import { pageJson, pageText, problemsOf, problemTexts } from './preflight-page.js';
import type { VisitedPage } from './preflight-page.js';
import { askedIn, askedJson, askedObservations, askedText, askHost } from './preflight-poll.js';
import { onSiteTexts as texts } from './texts-on-site.js';

export const run: Run = async (host, args) => {
  const site = openOneSite(host, pathIn(args, texts.preflight));
  const timeoutMs = timeoutIn(args);
  const authorities = [...rootCertificates, ...authoritiesIn(host, args)];
  const asked = askedIn(site.open, args, timeoutMs);
  const now = new Date();
  const pages = await visited(site.open, { authorities, timeoutMs, now });
  const answers = asked === undefined ? undefined : await askHost(asked);
  const observations = [
    ...pages.flatMap((page) => observationOf(page, host.today)),
    ...(answers === undefined ? [] : askedObservations(answers, host.today)),
  ];
  if (args.values.get('format') === 'json') {
    host.print(
      jsonText({
        schemaVersion,
        pages: pages.map(pageJson),
        modbus: answers === undefined ? null : askedJson(answers),
      }),
    );
  } else {
    host.print(
      [
        pages.length === 0 ? texts.noPages : `${texts.clock(now.toISOString())}\n`,
        ...pages.map(pageText),
        ...(answers === undefined ? [] : [askedText(answers)]),
        ...(observations.length === 0
          ? []
          : [[texts.asLines, ...observationTexts(observations), ''].join('\n')]),
      ].join('\n'),
    );
  }
  const record = args.values.get('record');
  if (record !== undefined) {
    host.remark(mergeInto(host, site, record, observations));
  }
  const isWrong =
    pages.some((page) => problemsOf(page).length > 0) ||
    answers?.failure !== undefined ||
    answers?.units.some(({ answer }) => !answer.found) === true;
  return isWrong ? 1 : 0;
};

/** Hosts side by side would be quicker; one after the other disturbs a network least. */
async function visited(
  open: OpenSite,
  options: { authorities: readonly string[]; timeoutMs: number; now: Date },
): Promise<readonly VisitedPage[]> {
  const named = namedHosts(open);
  const pages: VisitedPage[] = [];
  for (const stated of statedPages(open)) {
    if (stated.refusal !== undefined || !URL.canParse(stated.page)) {
      pages.push({ stated: { ...stated, refusal: stated.refusal ?? 'no-web-page' } });
      continue;
    }
    const { authorities, timeoutMs, now } = options;
    const visit = await visitPage(targetOf(stated), {
      ...{ authorities, timeoutMs, on: now },
      isNamed: (name) => named.has(name),
    });
    pages.push({ stated, visit });
  }
  return pages;
}

function targetOf({ page, address, fingerprint }: StatedPage) {
  return {
    page,
    ...(address === undefined ? {} : { address }),
    ...(fingerprint === undefined ? {} : { pinned: fingerprint }),
  };
}

/** A page that was not visited was not seen. */
function observationOf(page: VisitedPage, today: string): readonly Observation[] {
  if (page.visit === undefined) {
    return [];
  }
  const [first] = problemTexts(page);
  return [
    {
      kind: 'observed',
      subject: page.stated.subject,
      seen:
        first === undefined
          ? { how: 'page-opens' }
          : { how: 'page-fails', text: problemsOf(page).join(', ') },
      on: today,
    },
  ];
}

function timeoutIn(args: Arguments): number {
  const text = args.values.get('timeout') ?? '10';
  const seconds = Number(text);
  if (!/^\d+(?:\.\d+)?$/u.test(text) || seconds < 1 || seconds > 10) {
    throw new CannotRun(texts.noTimeout(text));
  }
  return seconds * 1000;
}

function authoritiesIn(host: Host, args: Arguments): readonly string[] {
  const file = args.values.get('authority');
  if (file === undefined) {
    return [];
  }
  const content = readText(path.resolve(host.folder, file));
  if (content.kind !== 'text') {
    throw new CannotRun(
      texts.notThere(file, content.kind === 'unreadable' ? content.why : 'there is no such file'),
    );
  }
  const found = content.text.match(
    /-----BEGIN CERTIFICATE-----[\s\S]+?-----END CERTIFICATE-----/gu,
  );
  if (found === null) {
    throw new CannotRun(texts.noAuthority(file));
  }
  return found;
}
