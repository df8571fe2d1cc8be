/** Sentences about checking many sites at once. */

export const portfolioTexts = {
  shardAbout: 'Check one share of the sites only, such as 2/4: the second of four.',
  mergeReports: {
    usage: 'merge-reports REPORT… [options]',
    summary: 'Put the reports of several checks together.',
    about: [
      'A REPORT is a file that `ferrule check --format json` printed. The reports of shares must be there',
      'all, each once. What several reports say alike is said once. The exit code is that of one check',
      'of everything.',
    ],
  },
  progress: (done: number, all: number) => `${done} of ${all} sites checked\n`,
  noShard: (text: string) =>
    `--shard "${text}" is no share. Write which share and how many there are: --shard 2/4.`,
  noReport: (file: string, why: string) =>
    `"${file}" is no report of \`ferrule check --format json\`: ${why}.`,
  otherVersion: (version: unknown) =>
    `its schemaVersion is ${JSON.stringify(version)}, and this program reads 1`,
  notJson: 'it is no JSON',
  noFindings: 'it has no list of findings',
  badFinding: (number: number) => `its finding ${number} lacks a rule, a place or a severity`,
  badShard: 'its share is none',
  sharesDiffer: (counts: readonly number[]) =>
    `The reports are shares of different wholes: ${counts.join(' and ')}. Give the reports of one run.`,
  sharesMissing: (missing: readonly string[]) =>
    `Not every share is there: ${missing.join(', ')} missing. What was not checked must not look right.`,
  shareTwice: (share: string) => `Share ${share} is there twice.`,
  wholeAmongShares: 'Some reports are shares and some are not. Give the reports of one run.',
  merged: (counts: string, reports: number) =>
    `${counts} in ${reports} report${reports === 1 ? '' : 's'}`,
} as const;
