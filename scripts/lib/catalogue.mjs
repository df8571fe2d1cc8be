/**
 * The text of RULES.md: every rule with its severity, whether it can be accepted, and a line from its page.
 */

/** @typedef {{ name: string, severity: string, acceptable: boolean }} RuleFacts */

/**
 * @param {readonly RuleFacts[]} rules
 * @param {ReadonlyMap<string, string>} pages The page of each rule, Markdown, by rule name.
 */
export function catalogueText(rules, pages) {
  const sorted = [...rules].sort((one, other) => (one.name < other.name ? -1 : 1));
  const rows = sorted.map((rule) => {
    const page = pages.get(rule.name);
    const name = page === undefined ? rule.name : `[${rule.name}](src/rules/${rule.name}.md)`;
    const line = page === undefined ? '' : firstSentence(page);
    return `| ${name} | ${rule.severity} | ${rule.acceptable ? 'yes' : 'never'} | ${line} |`;
  });
  const guarded = sorted.filter((rule) => !rule.acceptable).map((rule) => rule.name);
  return [
    '# Rules',
    '',
    '<!-- Written by `npm run catalogue` from src/rules; a test fails where it is stale. -->',
    '',
    'A rule is named by the problem, so that it reads after "accept": `accept bus-too-long on field-1 up to 1040 m because "tested" until 2027-03-31`. Each name leads to its page: why it matters on site, a wrong and a right text, how to fix it, and its source. `ferrule explain <rule>` prints the same page.',
    '',
    'An error will not work or can hurt, a warning may, a hint only tells. A site changes a severity with `severity <rule> error`, `warning`, `hint` or `off`. A finding whose limit rests on memory or on an assumption is a warning at most.',
    '',
    '| rule | severity | can be accepted | what it finds |',
    '| --- | --- | --- | --- |',
    ...rows,
    '',
    '## Never accepted',
    '',
    'These guard life or equipment, or tell that a part of the text is not checked. No `accept` line covers them and no `severity` line changes them:',
    '',
    ...guarded.map((name) => `- ${name}`),
    '',
  ].join('\n');
}

/**
 * The first sentence of a page's first paragraph, on one line, fit for a table.
 * @param {string} page
 */
export function firstSentence(page) {
  const paragraph = page.split(/\r?\n\s*\r?\n/)[1] ?? '';
  const flat = paragraph.replaceAll(/\s+/g, ' ').trim();
  const end = /\.(?= [A-Z`]|$)/.exec(flat);
  const sentence = end === null ? flat : flat.slice(0, end.index + 1);
  return sentence.replaceAll('|', '\\|');
}
