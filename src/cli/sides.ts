/** The two sides of a comparison: paths on this disk, or in revisions of git. */
import path from 'node:path';
import { kindAt } from '../disk/node-files.js';
import { GitRevision } from '../git/revision.js';
import type { CheckedSite } from '../workbench/workbench.js';
import { CannotRun } from './cannot-run.js';
import type { Host } from './host.js';
import { checkOneSite, checkOpened, openOneSiteOf } from './places.js';
import { nameInside, pathInside, revisionFiles } from './revision-files.js';
import { reviewTexts } from './texts-review.js';

interface Side {
  /** As the person wrote it. */
  readonly said: string;
  /** Undefined for this disk. */
  readonly revision: GitRevision | undefined;
  /** From the folder of the person; undefined where only the revision was named. */
  readonly place: string | undefined;
}

/** Opens both sides, or says why they cannot be compared. What stands on the disk is never taken for a revision. */
export function openSides(
  host: Host,
  [base, head]: readonly [string, string],
  on: string,
): readonly [CheckedSite, CheckedSite] {
  const one = sideOf(host, base);
  const other = sideOf(host, head);
  return [
    readWhole(one.said, openSide(host, one, other.place ?? '.', on)),
    readWhole(other.said, openSide(host, other, one.place ?? '.', on)),
  ];
}

/** A revision, or the reason why there is none as the end of the command. */
export function revisionNamed(host: Host, name: string, said: string): GitRevision {
  const revision = GitRevision.open(host.folder, name);
  if ('why' in revision) {
    throw new CannotRun(reviewTexts.noSuchSide(said, revision.why));
  }
  return revision;
}

function sideOf(host: Host, said: string): Side {
  if (said === '' || kindAt(path.resolve(host.folder, said)) !== 'missing') {
    return { said, revision: undefined, place: said };
  }
  const colon = colonIn(said);
  const revision = revisionNamed(host, colon < 0 ? said : said.slice(0, colon), said);
  if (colon < 0) {
    return { said, revision, place: undefined };
  }
  const named = said.slice(colon + 1);
  const isFromHere = /^\.{1,2}(?:\/|$)/u.test(named);
  return { said, revision, place: isFromHere ? named : nameInside(revision, named) };
}

/** Where the path begins: a colon in braces belongs to the revision, as in `HEAD^{/: }`. */
function colonIn(said: string): number {
  const open = said.indexOf('{');
  const colon = said.indexOf(':');
  return open >= 0 && open < colon ? said.indexOf(':', said.indexOf('}', open)) : colon;
}

function openSide(host: Host, { revision, place }: Side, instead: string, on: string) {
  if (revision === undefined) {
    return checkOneSite(host, place!, on);
  }
  const wanted = place ?? instead;
  const inside = pathInside(revision, wanted);
  const kind = inside === undefined ? 'missing' : revision.kindAt(inside);
  if (kind === 'missing') {
    throw new CannotRun(reviewTexts.notInRevision(wanted, revision.name));
  }
  const files = revisionFiles({
    revision,
    base: host.folder,
    places: [wanted],
    onInstalled: () => {
      host.remark(reviewTexts.installedNow(revision.name));
    },
  });
  if (files.list().length === 0) {
    throw new CannotRun(reviewTexts.noFilesInRevision(wanted, revision.name));
  }
  return checkOpened(openOneSiteOf(files, wanted, kind), on);
}

/** What was not read must not look like what was taken away. */
const unreadRules: ReadonlySet<string> = new Set([
  'syntax-error',
  'import-missing',
  'import-unreadable',
  'package-missing',
  'package-unreadable',
  'package-language-unsupported',
]);

function readWhole(side: string, checked: CheckedSite): CheckedSite {
  const unread = checked.findings.find(({ finding }) => unreadRules.has(finding.rule));
  if (unread !== undefined) {
    throw new CannotRun(reviewTexts.unread(side, unread.finding.what));
  }
  return checked;
}
