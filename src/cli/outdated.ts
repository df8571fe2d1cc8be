/** `ferrule outdated`: newer versions of a site's packages, and what each would change on it. */
import path from 'node:path';
import { nodeFiles, readText } from '../disk/node-files.js';
import { impactOf, isWithoutImpact, type SiteImpact } from '../workbench/impact.js';
import { newerVersions, withStandIns } from '../workbench/other-version.js';
import { unopened } from '../workbench/vendoring.js';
import { Workbench, type CheckedSite } from '../workbench/workbench.js';
import { dayIn } from './arguments.js';
import type { Run } from './command.js';
import type { ExitCode } from './host.js';
import { checkOneSite, pathIn } from './places.js';
import { publishedVersions, withInstalled } from './registry.js';
import { sharingTexts } from './texts-sharing.js';

interface NewerVersion {
  readonly version: string;
  /** Why the site could not be opened with it. */
  readonly refused?: readonly string[];
  readonly impact?: SiteImpact;
}

export const run: Run = async (host, args): Promise<ExitCode> => {
  const place = pathIn(args, sharingTexts.outdated);
  const on = dayIn(args, host.today);
  const before = checkOneSite(host, place, on);
  const { root, packages } = before.open;
  const folder = path.dirname(path.resolve(host.folder, root));
  const files = nodeFiles({ base: host.folder, places: [place] });
  const judged = (name: string, version: string): Promise<NewerVersion> =>
    withInstalled(folder, name, version, (modules) => {
      const stands = withStandIns(files, (standIn, file) => {
        const there = readText(path.join(modules, standIn, 'package.json')).kind === 'text';
        return there ? readText(path.join(modules, standIn, file)) : undefined;
      });
      return versionOn(before, new Workbench(stands).check(root, on), version);
    });
  const found: { name: string; current: string; newer: readonly NewerVersion[] }[] = [];
  for (const { name, version: current } of packages) {
    const versions = newerVersions(current, await publishedVersions(folder, name)) ?? [];
    const newer: NewerVersion[] = [];
    for (const version of versions) {
      newer.push(args.flags.has('impact') ? await judged(name, version) : { version });
    }
    found.push({ name, current, newer });
  }
  if (args.values.get('format') === 'json') {
    host.print(`${JSON.stringify({ schemaVersion: 1, packages: found }, undefined, 2)}\n`);
    return 0;
  }
  found.forEach(({ name, current, newer }) => {
    host.print(sharingTexts.versionsOf(name, current, newer.length));
    newer.forEach((one) => {
      host.print(textOf(name, one));
    });
  });
  if (found.length === 0) {
    host.print(sharingTexts.noPackage);
  }
  return 0;
};

function versionOn(
  before: CheckedSite,
  after: CheckedSite | undefined,
  version: string,
): NewerVersion {
  const refused = after === undefined ? [] : unopened(after.open);
  return after === undefined || refused.length > 0
    ? { version, refused }
    : { version, impact: impactOf(before, after) };
}

function textOf(name: string, { version, refused, impact }: NewerVersion): string {
  const lines = [`  ${name} ${version}`];
  if (refused !== undefined) {
    lines.push(...refused.map((why) => `    ${sharingTexts.notUsable(why)}`));
  } else if (impact !== undefined && isWithoutImpact(impact)) {
    lines.push(`    ${sharingTexts.changesNothing}`);
  } else if (impact !== undefined) {
    const { findings, schedules, counts } = impact;
    lines.push(
      ...findings.come.map((line) => `    ${sharingTexts.findingComes(line)}`),
      ...findings.gone.map((line) => `    ${sharingTexts.findingGoes(line)}`),
      ...counts.map((one) => `    ${sharingTexts.countChanges(one.name, one.before, one.after)}`),
      ...schedules.flatMap((one) => [
        `    ${sharingTexts.rowsChange(one.name, one.gone.length, one.come.length)}`,
        ...one.gone.map((row) => `      - ${row}`),
        ...one.come.map((row) => `      + ${row}`),
      ]),
    );
  }
  return `${lines.join('\n')}\n`;
}
