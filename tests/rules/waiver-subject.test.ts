/** A waiver names what is wrong, or the declaration that the wrong line stands in. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { counted, siteOf } from '../support/site.js';

const common = { 'common.ferrule': readFileSync('src/rules/common.ferrule', 'utf8') };

const site = (accepted: string) => `use "./common.ferrule"

device LP-1 : LinkPanel { address 1 }
device LU-1 : LinkUnit { address 2 }

bus link : UnitLink using ScreenedPair {
  land LP-1.field bonded
  land LU-1.field 14 m terminated
}
${accepted}`;

const because = 'because "short line, tried out with the owner" until 2027-03-31';
const missing = (accepted: string) =>
  counted(siteOf(site(accepted), common).findings)
    .map(({ finding }) => finding.rule)
    .filter((rule) => rule.startsWith('terminator') || rule.startsWith('waiver'));

describe('accept', () => {
  it('is needed here', () => {
    expect(missing('')).toEqual(['terminator-missing']);
  });

  it.each(['LP-1.field', 'link'])('covers the finding by the name %s', (name) => {
    expect(missing(`accept terminator-missing on ${name} ${because}\n`)).toEqual([]);
  });

  it('covers nothing by another name', () => {
    expect(missing(`accept terminator-missing on LU-1 ${because}\n`)).toEqual([
      'terminator-missing',
      'waiver-unused',
    ]);
  });
});
