/** Sentences of the command that compares two versions of a site. */

export const reviewTexts = {
  diff: {
    usage: 'diff BASE HEAD [options]',
    summary: 'What a change means on site: what to redo, why, and what got better or worse.',
    about: [
      'BASE and HEAD are each the file of a site or a folder with one. Their models are compared, never',
      'their text: layout, order of declarations and files play no part. A version with lines that',
      'cannot be read is not compared.',
    ],
  },
  formatAbout: 'text (a terminal), markdown (a comment), summary (a run), json; text if left out.',
  exitCodeAbout: 'End with 1 where anything changed.',
  outAbout: 'The file to write; left out: the terminal.',
  twoNeeded: (usage: string) => `Two versions are needed. Usage: ferrule ${usage}`,
  unread: (side: string, what: string) =>
    `"${side}" cannot be compared, because it is not read whole: ${what} Run "ferrule check" on it first.`,
} as const;
