/** What the fixes of supply and segregation rules write, one by one. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { applyChanges } from '../../src/language/write.js';
import { writtenFixes } from '../../src/workbench/fixes.js';
import { counted, lines, siteOf } from '../support/site.js';

const folder = new URL('../../src/rules/', import.meta.url);
const common = { 'common.ferrule': readFileSync(new URL('common.ferrule', folder), 'utf8') };

interface Written {
  readonly title: string;
  readonly text: string;
  /** The rules that still find something, waived ones and hints left out. */
  readonly left: readonly string[];
}

/** Each fix of the first finding of a rule, with the text that it makes. */
function fixesOf(rule: string, text: string): readonly Written[] {
  const whole = `use "./common.ferrule"\n\nboard DB-1 { way W1 230 VAC 6 A curve B }\n\n${text}`;
  const before = siteOf(whole, common);
  const found = before.findings.find(({ finding }) => finding.rule === rule);
  if (found === undefined) {
    throw new Error(`no ${rule} in: ${lines(before.findings).join('\n')}`);
  }
  return writtenFixes(before.open, found.finding).map(({ title, changes }) => {
    const changed = applyChanges(
      whole,
      changes.filter(({ file }) => file === 'site.ferrule'),
    );
    return {
      title,
      text: changed.slice(changed.indexOf('\n\n', changed.indexOf('board')) + 2),
      left: counted(siteOf(changed, common).findings).map(({ finding }) => finding.rule),
    };
  });
}

describe('mains-beside-signal', () => {
  const site = (
    header: string,
    carried: readonly string[],
  ): string => `device PS-1 : ControlSupply { inlet primary from DB-1.W1 }
device GW-1 : Gateway

feed F-1 from PS-1.out using SupplyPair { land GW-1.supply 10 m }

containment Tray-1${header} {
${carried.map((one) => `  carries ${one}\n`).join('')}}
`;

  it('is mended by a divider, or by taking one side out', () => {
    const fixes = fixesOf('mains-beside-signal', site('', ['DB-1.W1', 'F-1']));
    expect(fixes.map(({ title, left }) => [title, left])).toEqual([
      ['Use a divided containment for Tray-1', []],
      ['Take DB-1.W1 out of Tray-1', []],
      ['Take F-1 out of Tray-1', []],
    ]);
    expect(fixes[0]!.text).toContain('containment Tray-1 divided {\n  carries DB-1.W1\n');
    expect(fixes[1]!.text).toContain('containment Tray-1 {\n  carries F-1\n}');
  });

  it('keeps a title before the word', () => {
    const [divided] = fixesOf('mains-beside-signal', site(' "By the riser"', ['DB-1.W1', 'F-1']));
    expect(divided!.text).toContain('containment Tray-1 "By the riser" divided {');
    expect(divided!.left).toEqual([]);
  });
});

describe('class2-exceeded', () => {
  it('is mended by no longer calling the outlet Class 2', () => {
    const fixes = fixesOf(
      'class2-exceeded',
      `equipment Strong {
  role supply
  inlet primary 230 VAC 1 A terminals L, N, PE
  outlet out 24 VAC 160 VA class-2 selv terminals V0, V1
}

device PS-1 : Strong { inlet primary from DB-1.W1 }
`,
    );
    expect(fixes.map(({ title, left }) => [title, left])).toEqual([
      ['Wire Strong.out as a power circuit: leave out "class-2"', []],
    ]);
    expect(fixes[0]!.text).toContain('outlet out 24 VAC 160 VA selv terminals V0, V1');
  });

  it('is mended where only the load tells, by moving a device to another supply', () => {
    const fixes = fixesOf(
      'class2-exceeded',
      `equipment Unrated { role supply  inlet primary 230 VAC 1 A terminals L, N, PE  outlet out 24 VAC class-2 terminals V0, V1 }
equipment Valve { role other  inlet supply 24 VAC 40 VA terminals V0, V1 }
device PS-1 : Unrated { inlet primary from DB-1.W1 }
device PS-2 : ControlSupply { inlet primary from DB-1.W1 }
device VA-1 : Valve
device VA-2 : Valve
device VA-3 : Valve

feed F-1 from PS-1.out using SupplyPair {
  land VA-1.supply 5 m
  land VA-2.supply 5 m
  land VA-3.supply 5 m
}
`,
    );
    expect(fixes[0]!.title).toBe('Move VA-3.supply to PS-2.out (60 VA to spare)');
    expect(fixes[0]!.left).toEqual([]);
  });
});

describe('protective-earth-missing', () => {
  it('is mended by the closest cable with a green-yellow core and enough others', () => {
    const fixes = fixesOf(
      'protective-earth-missing',
      `cable TwoCores { cores 2 x 1.5 mm2 class 5  colours BN, BU  rated 500 V }
cable TooFew { cores 2 x 1.5 mm2 class 5  colours BN, GNYE  rated 500 V }
cable TooThin { cores 3 x 1 mm2 class 5  colours BN, BU, GNYE  rated 500 V }
cable MainsFive { cores 5 x 2.5 mm2 class 5  colours BN, BK, GY, BU, GNYE  rated 500 V }

device PS-1 : ControlSupply { inlet primary from DB-1.W1 using TwoCores 8 m }
`,
    );
    expect(fixes.map(({ title }) => title)).toEqual(['Use MainsThree for this line']);
    expect(fixes[0]!.text).toContain('inlet primary from DB-1.W1 using MainsThree 8 m');
    expect(fixes[0]!.left).toEqual([]);
  });

  it('changes the cable of a whole feed, for the inlet with the most terminals', () => {
    const fixes = fixesOf(
      'protective-earth-missing',
      `cable FourCores { cores 4 x 1.5 mm2 class 5  colours BN, BK, GY, BU  rated 500 V }
cable MainsFive { cores 5 x 1.5 mm2 class 5  colours BN, BK, GY, BU, GNYE  rated 500 V }
equipment Heater { role other  inlet mains 400 VAC three-phase 1 A terminals L1, L2, L3, N, PE }
board DB-2 { way W1 400 VAC three-phase 6 A curve B }
device H-1 : Heater
feed F-1 from DB-2.W1 using FourCores { land H-1.mains 8 m }
`,
    );
    expect(fixes.map(({ title, left }) => [title, left])).toEqual([['Use MainsFive for F-1', []]]);
  });

  it('has nothing to offer where no cable of the site would do', () => {
    const fixes = fixesOf(
      'protective-earth-missing',
      `cable TwoCores { cores 2 x 4 mm2 class 5  colours BN, BU  rated 500 V }
device PS-1 : ControlSupply { inlet primary from DB-1.W1 using TwoCores 8 m }
`,
    );
    expect(fixes).toEqual([]);
  });
});

describe('core-colour-misused', () => {
  it('is mended by the spare core where the cable has one', () => {
    const fixes = fixesOf(
      'core-colour-misused',
      `device PS-1 : ControlSupply { inlet primary from DB-1.W1 }
device GW-1 : Gateway

feed F-1 from PS-1.out using MainsThree { land GW-1.supply 10 m cores BN, GNYE }
`,
    );
    expect(fixes.map(({ title, left }) => [title, left])).toEqual([
      ['Land BU on terminal V1 of GW-1.supply', []],
    ]);
    expect(fixes[0]!.text).toContain('land GW-1.supply 10 m cores BN, BU');
  });

  it('is mended by changing places with what stands on the protective terminal', () => {
    const fixes = fixesOf(
      'core-colour-misused',
      `device PS-1 : ControlSupply

feed F-1 from DB-1.W1 using MainsThree { land PS-1.primary 10 m cores BN, GNYE, BU }
`,
    );
    expect(fixes.map(({ title, left }) => [title, left])).toEqual([
      ['Land BU on terminal N of PS-1.primary', []],
    ]);
    expect(fixes[0]!.text).toContain('cores BN, BU, GNYE');
  });

  it('is mended by a cable with enough cores where none are stated', () => {
    const fixes = fixesOf(
      'core-colour-misused',
      `cable OneAndEarth { cores 2 x 1.5 mm2 class 5  colours BN, GNYE  rated 500 V }
device PS-1 : ControlSupply { inlet primary from DB-1.W1 }
device GW-1 : Gateway

feed F-1 from PS-1.out using OneAndEarth { land GW-1.supply 10 m }
`,
    );
    expect(fixes.map(({ title, left }) => [title, left])).toEqual([['Use MainsThree for F-1', []]]);
  });
});

describe('protection-blind', () => {
  const site = (curve: string, ratedA: number, lengthM: number): string => `equipment DcSupply {
  role supply
  inlet primary 230 VAC 1 A terminals L, N, PE
  outlet out 24 VDC 4 A resistance 0.05 ohm protected ${ratedA} A curve ${curve} terminals P, M
}

equipment Logger { role meter  inlet supply 24 VDC 0.3 A terminals P, M }

device PS-1 : DcSupply { inlet primary from DB-1.W1 }
device LG-1 : Logger

feed F-1 from PS-1.out using SupplyPair { land LG-1.supply ${lengthM} m }
`;

  it('is mended by a larger cable, a faster curve or a lower rating', () => {
    // 30 m of 1.5 mm2 hot: 24 / (0.9548 + 0.05) = 23.9 A.
    const fixes = fixesOf('protection-blind', site('C', 2, 30));
    expect(fixes.map(({ title, left }) => [title, left])).toEqual([
      ['Use WideSupplyPair for F-1', []],
      ['Protect DcSupply.out with curve B, which trips from 14 A', []],
      ['Protect DcSupply.out with 1 A, which trips from 15 A', []],
    ]);
    expect(fixes[1]!.text).toContain('protected 2 A curve B');
    expect(fixes[2]!.text).toContain('protected 1 A curve C');
  });

  it('is offered no rating below the load', () => {
    // 200 m: 24 / (6.365 + 0.05) = 3.74 A. Only 0.5 A of curve B would trip, which still carries 0.3 A.
    const fixes = fixesOf('protection-blind', site('B', 4, 200));
    expect(fixes.map(({ title }) => title)).toEqual([
      'Protect DcSupply.out with 0.5 A, which trips from 3.5 A',
    ]);
    const heavy = fixesOf('protection-blind', site('B', 4, 200).replace('0.3 A', '0.6 A'));
    expect(heavy).toEqual([]);
  });
});
