/** Sentences about checks in continuous integration. */

const counted = (count: number) => `${count} finding${count === 1 ? '' : 's'}`;

export const ciTexts = {
  formatAbout:
    'text (left out), json, sarif, junit, github (annotations) or gitlab (code quality).',
  baselineAbout: 'Judge only what this file does not list; what is gone leaves the file.',
  adoptAbout: 'Write the findings of today into the --baseline file, which must not exist yet.',
  sinceAbout: 'Judge only what was not found at this revision of git.',
  adoptAlone: '--adopt needs a file to write: --baseline FILE --adopt.',
  adoptedBefore: (file: string) =>
    `"${file}" exists. A baseline only shrinks: leave --adopt out, or remove the file to begin again.`,
  adopted: (file: string, count: number) =>
    `Wrote ${counted(count)} to ${file}. Rules that guard life are never in it.\n`,
  noBaselineYet: (file: string) =>
    `There is no baseline "${file}". Add --adopt once to write the findings of today.`,
  noBaseline: (file: string) => `"${file}" is no baseline that this program can read.`,
  knownInBaseline: (count: number, file: string) =>
    `${counted(count)} in the baseline ${file} not judged again.\n`,
  knownSince: (count: number, revision: string) =>
    `${counted(count)} that ${revision} has, too, not judged again.\n`,
  shrunk: (file: string, before: number, after: number) =>
    `${file} went from ${before} to ${counted(after)}, or some of them are better. Commit it.\n`,
} as const;
