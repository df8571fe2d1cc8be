/** Ways to mend a finding, as text changes. */
import { reorderFix } from '../analysis/bus/reorder.js';
import type { Finding, Fix } from '../model/finding.js';
import type { PieceProblem } from '../language/problem.js';
import { acceptFixFor, problemPart, replacementFix, ruleFixes } from '../language/validate.js';
import { writeEdits, type PartAt, type SiteText, type TextChange } from '../language/write.js';
import type { Place } from '../model/origin.js';
import { locate, type OpenSite } from './open-site.js';
import { isOfPackage } from './package-walk.js';

export interface WrittenFix {
  readonly title: string;
  readonly kind: Fix['kind'];
  readonly changes: readonly TextChange[];
}

/** The fixes for a finding, best first; those that no longer fit the text are left out, and those that would change a package. */
export function writtenFixes(open: OpenSite, finding: Finding): readonly WrittenFix[] {
  const fixes = [
    ...replacementFix(finding, problemOf(open, finding)),
    ...ruleFixes(open.site, open.pieces, finding),
  ];
  return fixes
    .map((fix) => writtenFix(open, fix))
    .filter(({ changes }) => changes.length > 0 && !changes.some(({ file }) => isOfPackage(file)));
}

export function writtenFix(open: OpenSite, fix: Fix): WrittenFix {
  return { title: fix.title, kind: fix.kind, changes: writeEdits(siteText(open), fix.edits) };
}

/** The site's text as the writer of edits sees it. */
export function siteText(open: OpenSite): SiteText {
  const texts = new Map(open.files.map((file) => [file.path, file.text]));
  // What a template says cannot be changed at its instance, and changing it there changes every instance.
  const isOfTemplate = ({ declaration, part }: Place): boolean =>
    (open.declaredAt.get(declaration)?.templatePlaces?.(part).length ?? 0) > 0;
  const near = (place: Place): PartAt | undefined => {
    const at = isOfTemplate(place) ? undefined : locate(open, place);
    return at && { file: at.file.path, start: at.start, end: at.end };
  };
  const exactly = (place: Place): PartAt | undefined => {
    const declared = open.declaredAt.get(place.declaration);
    if (isOfTemplate(place)) {
      return undefined;
    }
    if (declared === undefined || place.part.startsWith('reference/')) {
      return near(place);
    }
    const span = declared.declaration.origins.get(place.part);
    return (
      span && {
        file: declared.file.path,
        start: declared.pieceStart + span.start,
        end: declared.pieceStart + span.end,
      }
    );
  };
  return {
    site: open.site,
    at: exactly,
    near,
    textOf: (file) => texts.get(file) ?? '',
    rootFile: open.root,
  };
}

function problemOf(open: OpenSite, finding: Finding): PieceProblem | undefined {
  const piece = open.pieceAt.get(finding.at.declaration)?.piece;
  const index =
    piece?.lowered.problems.findIndex((_, position) => problemPart(position) === finding.at.part) ??
    -1;
  return piece?.lowered.problems[index];
}

/** A bus in the order of the shortest route, with the metres saved in its title; undefined where none is shorter. */
export function reorderedBus(open: OpenSite, bus: string): WrittenFix | undefined {
  const record = open.site.buses.get(bus);
  const fix = record && reorderFix(open.site, record);
  return fix && writtenFix(open, fix);
}

/**
 * The fix that accepts a finding until a day (ISO); undefined where it can never be accepted. The
 * reason is left for a person to write, and the text says so.
 */
export function acceptingFix(
  open: OpenSite,
  finding: Finding,
  until: string,
): WrittenFix | undefined {
  const fix = acceptFixFor(finding, reasonToWrite, until);
  return fix && writtenFix(open, fix);
}

/** Stands where a person has to give the reason. */
const reasonToWrite = 'reason: who agreed, and why it is right here';
