/** Every fix of the bus rules: it removes its finding, and the text still parses. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { LocatedFinding } from '../../src/model/located.js';
import { writtenFixes } from '../../src/workbench/fixes.js';
import { applyChanges } from '../../src/language/write.js';
import { counted, filesIn, lines, siteOf } from '../support/site.js';

const folder = new URL('../../src/rules/', import.meta.url);
const common = { 'common.ferrule': readFileSync(new URL('common.ferrule', folder), 'utf8') };

const head = `use "./common.ferrule"

device LP-1 : LinkPanel { address 1 }
device LU-1 : LinkUnit { address 2 }
device LU-2 : LinkUnit { address 3 }
device LU-3 : LinkUnit { address 4 }
`;

interface Fixed {
  readonly title: string;
  readonly text: string;
  readonly findings: readonly LocatedFinding[];
}

/** Applies each fix of the first finding of a rule by itself. */
function fixed(rule: string, text: string): readonly Fixed[] {
  const site = siteOf(text, common);
  const finding = site.findings.find((one) => one.finding.rule === rule)?.finding;
  if (finding === undefined) {
    throw new Error(`no ${rule} in: ${lines(site.findings).join('\n')}`);
  }
  return writtenFixes(site.open, finding).map(({ title, changes }) => {
    const file = Object.keys(filesIn(text))[0]!;
    const changed = applyChanges(
      text,
      changes.filter((change) => change.file === file),
    );
    return { title, text: changed, findings: siteOf(changed, common).findings };
  });
}

function body(text: string): string {
  return text.slice(head.length).trim();
}

describe('a fix of a bus rule', () => {
  const rules = [
    'bus-type-mismatch',
    'bus-overcrowded',
    'bus-shape-unsupported',
    'cable-unsuitable',
    'terminator-missing',
    'terminator-misplaced',
    'terminator-duplicate',
    'bus-controller-missing',
    'bus-source-missing',
    'port-landed-twice',
    'port-unlanded',
    'conductors-swapped',
    'screen-unbonded',
    'screen-bonded-twice',
  ];
  let tried = 0;
  for (const rule of rules) {
    const page = readFileSync(new URL(`${rule}.md`, folder), 'utf8');
    const wrong = page.slice(page.indexOf('## Wrong'), page.indexOf('## Right'));
    const blocks = [...wrong.matchAll(/```ferrule\n([\s\S]*?)```/gu)].map((match) => match[1]!);
    blocks.forEach((block, index) => {
      it(`removes ${rule} of its page, block ${index + 1}, and breaks nothing`, () => {
        const plain = block.replace(/^\s*\/\/\s*\^+.*\n/gmu, '');
        for (const { title, findings } of fixed(rule, plain)) {
          tried += 1;
          const left = findings
            .map(({ finding }) => finding.rule)
            .filter((left) => [rule, 'syntax-error', 'name-unknown'].includes(left));
          expect({ title, left }).toEqual({ title, left: [] });
        }
      });
    });
  }

  it('exists on most pages', () => {
    expect(tried).toBeGreaterThanOrEqual(12);
  });
});

describe('moving a landing', () => {
  const mixed = `${head}device WU-1 : WallUnit
device WC-1 : WallController

bus link-1 : UnitLink using ScreenedPair {
  land LP-1.field terminated bonded
  land LU-1.field 10 m
  land LU-2.field 10 m
  land LU-3.field 10 m
  land WC-1.link 10 m terminated
}
bus wall-1 : WallLink using PlainPair {
  land WU-1.room
}
`;

  it('lands it on the bus of its type and hands the terminator on', () => {
    const [move] = fixed('bus-type-mismatch', mixed);
    expect(move!.title).toBe('Move WC-1.link to wall-1');
    expect(body(move!.text)).toBe(`device WU-1 : WallUnit
device WC-1 : WallController

bus link-1 : UnitLink using ScreenedPair {
  land LP-1.field terminated bonded
  land LU-1.field 10 m
  land LU-2.field 10 m
  land LU-3.field 10 m terminated
}
bus wall-1 : WallLink using PlainPair {
  land WU-1.room
  land WC-1.link
}`);
    expect(counted(move!.findings)).toEqual([]);
  });

  it('offers no bus that is full', () => {
    const full = mixed.replace(
      '  land WU-1.room\n',
      `  land WU-1.room
${[2, 3, 4, 5].map((index) => `  land WC-${index}.link 5 m\n`).join('')}`,
    );
    const more = [2, 3, 4, 5].map((index) => `device WC-${index} : WallController\n`).join('');
    expect(fixed('bus-type-mismatch', full + more)).toEqual([]);
  });

  it('takes a port away that is landed on its own bus already', () => {
    const text = mixed.replace('  land WU-1.room\n', '  land WU-1.room\n  land WC-1.link 5 m\n');
    expect(lines(counted(siteOf(text, common).findings))).toEqual([
      expect.stringContaining('Remove this line, since WC-1.link is landed on wall-1 already.'),
    ]);
    const [removal, ...more] = fixed('bus-type-mismatch', text);
    expect(removal!.title).toBe('Remove WC-1.link from link-1');
    expect(removal!.text).toContain('land LU-3.field 10 m terminated');
    expect(counted(removal!.findings)).toEqual([]);
    expect(more).toEqual([]);
  });

  it('offers the port of the same device that fits first', () => {
    const text = `${head}board DB-1 { way W1 230 VAC 10 A curve B }
device FC-1 : IndoorUnit { address 5  inlet mains from DB-1.W1 }

bus link-1 : UnitLink using ScreenedPair {
  land LP-1.field terminated bonded
  land LU-1.field 10 m
  land LU-2.field 10 m
  land LU-3.field 10 m
  land FC-1.room 10 m terminated
}
`;
    const [first] = fixed('bus-type-mismatch', text);
    expect(first!.title).toBe('Land FC-1.field on link-1 instead');
    expect(first!.text).toContain('land FC-1.field 10 m terminated');
  });
});

describe('landing a device', () => {
  it('moves the terminator to the new end', () => {
    const text = `${head}
bus link-1 : UnitLink using ScreenedPair {
  land LP-1.field terminated bonded
  land LU-1.field 10 m
  land LU-2.field 10 m terminated
}
`;
    const [landed] = fixed('unit-unsupervised', text);
    expect(landed!.title).toBe('Land LU-3.field on link-1');
    expect(body(landed!.text)).toBe(`bus link-1 : UnitLink using ScreenedPair {
  land LP-1.field terminated bonded
  land LU-1.field 10 m
  land LU-2.field 10 m
  land LU-3.field terminated
}`);
  });

  it('prefers the bus whose end is nearest', () => {
    const text = `use "./common.ferrule"

area Low level 0 m { room Near at 0 m, 0 m  room Far at 40 m, 0 m }
device LP-1 : LinkPanel in Far { address 1 }
device LU-1 : LinkUnit in Far { address 2 }
device LP-2 : LinkPanel in Near { address 1 }
device LU-2 : LinkUnit in Near { address 2 }
device LU-3 : LinkUnit in Near { address 3 }
bus a-far : UnitLink using ScreenedPair {
  land LP-1.field terminated bonded
  land LU-1.field 10 m terminated
}
bus b-near : UnitLink using ScreenedPair {
  land LP-2.field terminated bonded
  land LU-2.field 10 m terminated
}
`;
    expect(fixed('unit-unsupervised', text).map(({ title }) => title)).toEqual([
      'Land LU-3.field on b-near',
      'Land LU-3.field on a-far',
    ]);
  });
});

describe('removing a second landing', () => {
  it('leaves the first landing of a bus without a length', () => {
    const text = `${head}
bus a : UnitLink using ScreenedPair {
  land LP-1.field terminated bonded
  land LU-1.field 10 m
  land LU-2.field 10 m terminated
}
bus b : UnitLink using ScreenedPair {
  land LU-1.field terminated bonded
  land LP-2.field 10 m
  land LU-3.field 10 m terminated
}
device LP-2 : LinkPanel { address 9 }
`;
    const [removed] = fixed('port-landed-twice', text);
    expect(removed!.text).toContain(`bus b : UnitLink using ScreenedPair {
  land LP-2.field terminated bonded
  land LU-3.field 10 m terminated
}`);
    expect(counted(removed!.findings)).toEqual([]);
  });

  it('takes a spur away with its only landing', () => {
    const text = `${head}
bus a : UnitLink using ScreenedPair {
  land LP-1.field terminated bonded
  land LU-1.field 10 m
  land LU-2.field 10 m {
    spur 1 m { land LU-1.field }
  }
  land LU-3.field 10 m terminated
}
`;
    const [removed] = fixed('port-landed-twice', text);
    expect(removed!.text).not.toContain('spur');
    expect(counted(removed!.findings)).toEqual([]);
  });

  it('takes the other line where spurs hang on the second', () => {
    const text = `${head}
bus a : UnitLink using ScreenedPair {
  land LP-1.field terminated bonded
  land LU-1.field 10 m
  land LU-1.field 10 m {
    spur 1 m { land LU-2.field }
  }
  land LU-3.field 10 m terminated
}
`;
    const fixes = fixed('port-landed-twice', text);
    expect(fixes.map(({ title }) => title)).toEqual(['Remove LU-1.field from a, landing 2']);
    expect(fixes[0]!.text).toContain('spur 1 m { land LU-2.field }');
    expect(counted(fixes[0]!.findings)).toEqual([]);
  });

  it('leaves no bus without its only controller', () => {
    const text = `use "./common.ferrule"
device ZP-1 : ZonePanel { address 1 }
device FU-1 : FanUnit { address 2 }
device FU-2 : FanUnit { address 3 }
device ZP-2 : ZonePanel { address 4 }
bus a : ZoneLink using PlainPair { land ZP-1.zone  land ZP-2.zone 4 m  land FU-1.zone 8 m }
bus b : ZoneLink using PlainPair { land ZP-2.zone  land FU-2.zone 8 m }
`;
    expect(fixed('port-landed-twice', text).map(({ title }) => title)).toEqual([
      'Remove ZP-2.zone from a',
    ]);
  });
});
