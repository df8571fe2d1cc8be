/** Sentences of the command that explains differences. */

export const diagnoseTexts = {
  diagnose: {
    usage: 'diagnose SITE [options]',
    summary: 'Say which single faults, or pairs of them, explain what was seen on site.',
    about: [
      'What was seen are the observed lines of the site. Each fault that the site can have is tried on',
      'its model; those that explain every observation are listed, likeliest first, faults that nothing',
      'on the site tells apart together, then the look that would tell most about those that remain.',
      'The exit code is 1 when something was seen otherwise than written.',
    ],
  },
  seenAbout:
    'More that was seen, as in the text: "ZC-1 finds 3; ZC-1 misses FC-2"; nothing is written.',
  verdicts: {
    'nothing-seen': 'Nothing that could be compared was recorded yet.',
    'as-expected': 'Everything that was recorded is as written.',
    single: 'One fault explains everything that was seen.',
    pair: 'No single fault explains everything that was seen; two at once do.',
    unexplained:
      'Neither one fault nor two explain everything that was seen. What follows explains most of it; look for a third fault, for wiring that is not as written, or for a slip in an observation.',
  },
  observations: (count: number) => `${count} observation${count === 1 ? '' : 's'} used.`,
  deviating: 'Seen otherwise than written:',
  unused: 'Not used, because nothing is predicted for them:',
  group: (rank: number, sharePercent: number, faults: number) =>
    `${rank}. ${sharePercent} %${faults > 1 ? `, one of ${faults} that nothing on this site tells apart` : ''}`,
  more: (count: number) => `and ${count} more`,
  moreGroups: (count: number) =>
    `${count} further group${count === 1 ? '' : 's'}; --format json has all.`,
  contradicted: 'does not explain:',
  share: 'The shares rest on common practice: how often each kind of fault is met on a new site.',
  next: 'Next:',
  where: (place: string) => `where: ${place}`,
  outcome: (seen: string, groups: readonly number[]) =>
    `${seen}: ${groups.length === 1 ? 'group' : 'groups'} ${groups.join(', ')}`,
  outcomeMany: (seen: string, count: number) => `${seen}: ${count} groups`,
  caution: (text: string) => `Caution: ${text}`,
  noNext: 'No further look on this site tells them apart: inspect them one by one.',
  unreadSeen: (line: string) =>
    `--seen "${line}" is no observation. Write it as after the word observed: "ZC-1 finds 3", "field-1 measures 120 ohm power-off".`,
} as const;
