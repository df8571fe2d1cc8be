/** Rules about supplies beyond their pages: who speaks, who is silent, what the fixes lead to. */
import { describe, expect, it } from 'vitest';
import { RULES } from '../../src/rules/index.js';
import { writtenFixes } from '../../src/workbench/fixes.js';
import { siteOf } from '../support/site.js';

const TEMPLATES = `cable C075 { cores 2 x 0.75 mm2 class 5  colours RD, BK  rated 300 V }
cable C15 { cores 2 x 1.5 mm2 class 5  colours RD, BK  rated 300 V }
cable C25 { cores 2 x 2.5 mm2 class 5  colours RD, BK  rated 300 V }
cable C60 { cores 2 x 6 mm2 class 5  colours RD, BK  rated 300 V }
equipment Ac { role supply  inlet primary 230 VAC 0.5 A double-insulated terminals L, N  outlet out 24 VAC 60 VA terminals V0, V1 }
equipment Dc { role supply  inlet primary 230 VAC 0.5 A double-insulated terminals L, N  outlet out 24 VDC 10 A terminals P, M }
equipment Panel { role other  inlet supply 24 VAC 10 VA tolerance 10 % terminals V0, V1 }
equipment Quiet { role other  inlet supply 24 VAC 10 VA tolerance 10 % dedicated terminals V0, V1 }
equipment Big { role other  inlet supply 24 VAC 30 VA tolerance 10 % terminals V0, V1 }
equipment Watt { role other  inlet supply 24 VDC 40 W tolerance 10 % terminals P, M }
equipment Amp { role other  inlet supply 24 VDC 2 A tolerance 10 % terminals P, M }
board DB { way W1 230 VAC 6 A  way W2 230 VAC 6 A }
`;

/** `rule subject`, or `rule subject (warning)`; hints left out. */
function found(text: string): readonly string[] {
  return siteOf(`${TEMPLATES}${text}`)
    .findings.filter(({ finding }) => finding.severity !== 'hint')
    .map(
      ({ finding }) =>
        `${finding.rule} ${finding.subject}${finding.severity === 'error' ? '' : ` (${finding.severity})`}`,
    );
}

/** The text after the first fix of the first finding of a rule, with the titles of all its fixes. */
function fixed(
  text: string,
  rule: string,
): { readonly titles: readonly string[]; readonly text: string } {
  const whole = `${TEMPLATES}${text}`;
  const site = siteOf(whole);
  const finding = site.findings.find((one) => one.finding.rule === rule)!.finding;
  const fixes = writtenFixes(site.open, finding);
  const changes = [...fixes[0]!.changes].sort((one, other) => other.start - one.start);
  const after = changes.reduce(
    (result, { start, end, text: put }) => result.slice(0, start) + put + result.slice(end),
    whole,
  );
  return { titles: fixes.map((fix) => fix.title), text: after.slice(TEMPLATES.length) };
}

describe('one cause, one finding', () => {
  const strained = (
    load: string,
    lengthM: number,
  ): string => `site S { limit voltage-drop 5 %  severity template-unused off }
device PS : Dc { inlet primary from DB.W1 }
device D : ${load}
feed F from PS.out using C15 { land D.supply ${lengthM} m }
`;

  it('a collapse hides the undervoltage and the drop of its feed', () => {
    expect(found(strained('Watt', 200))).toEqual(['voltage-collapse F']);
  });

  it('an undervoltage hides the drop', () => {
    expect(found(strained('Amp', 50))).toEqual(['inlet-undervoltage D.supply']);
  });

  it('a drop alone is a warning', () => {
    expect(found(strained('Amp', 30))).toEqual(['voltage-drop-excessive F (warning)']);
  });

  it('a missing supply hides load and voltage behind it, a battery excepted', () => {
    const behind = (supply: string): string => `${supply}
device D : Amp
device E : Amp
feed F from PS.out using C15 { land D.supply 80 m }
feed G from PS.out using C15 { land E.supply 1 m }
`;
    const small = (words: string): string =>
      `equipment Small { role supply  inlet primary 230 VAC 0.5 A double-insulated terminals L, N  outlet out 24 VDC 3 A ${words} terminals P, M }\n`;
    expect(found(`${small('')}${behind('device PS : Small')}`)).toEqual([
      'supply-missing PS.primary',
    ]);
    expect(
      found(
        `${small('stored')}${behind('device PS : Small')}area Z { room R }\nisolator Q on PS.out in R lockable\n`,
      ),
    ).toEqual([
      'supply-missing PS.primary',
      'inlet-undervoltage D.supply',
      'supply-overloaded PS.out',
    ]);
  });

  it('a wrong type hides load and voltage of that inlet', () => {
    expect(
      found(`device PS : Ac { inlet primary from DB.W1 }
device D : Amp
feed F from PS.out using C15 { land D.supply 200 m }
`),
    ).toEqual(['supply-type-mismatch D.supply']);
  });

  it('an inlet that is not there, or a wrong type, is no sharing of a dedicated source', () => {
    const text = (lines: string): string => `bustype Link { conductors 2 }
equipment Giver { role other  port p : Link as responder { gives 15 VDC up to 240 mA } }
equipment Wall { role other  port p : Link as controller { takes 20 mA } }
device PS : Ac { inlet primary from DB.W1 }
device G : Giver
device W : Wall
device Q : Quiet
bus b : Link using C15 { land G.p  land W.p 5 m }
${lines}
`;
    expect(
      found(text('feed F from PS.out using C15 { land W.supply 4 m  land Q.supply 4 m }')),
    ).toEqual(['supply-redundant W']);
    expect(
      found(
        text(
          'device Q2 : Quiet { inlet supply from DB.W1 }\nfeed F from PS.out using C15 { land Q.supply 4 m }',
        ),
      ),
    ).toEqual(['supply-type-mismatch Q2.supply']);
  });

  it('a name that is not known hides what needs it', () => {
    expect(
      found(`device PS : Ac { inlet primary from DB.W1 }
device D : Big
device E : Big
feed F from PS.out using C15 { land D.supply 10 m  land NOBODY.supply 10 m  land E.supply 500 m }
`),
    ).toEqual(['name-unknown NOBODY']);
  });

  it('known loads that are too much already are reported although another is not known', () => {
    expect(
      found(`equipment Silent { role other  inlet supply 24 VAC terminals V0, V1 }
device PS : Ac { inlet primary from DB.W1 }
device D : Big
device E : Big
device S : Silent
device P : Panel
feed F from PS.out using C15 { land D.supply 1 m  land S.supply 1 m  land E.supply 1 m  land P.supply 1 m }
`),
    ).toEqual(['supply-overloaded PS.out']);
  });

  it('an equipment without protective conductor is reported once, at its own line', () => {
    const { findings } = siteOf(`${TEMPLATES}
equipment Bare { role other  inlet mains 230 VAC 1 A terminals L, N }
device A : Bare { inlet mains from DB.W1 }
device B : Bare { inlet mains from DB.W2 }
`);
    expect(findings.map(({ finding }) => [finding.rule, finding.at])).toEqual([
      ['protective-earth-missing', { declaration: 'Bare', part: 'inlet/mains' }],
    ]);
  });

  it('two inlets that each want a source for themselves are one finding, at the later one', () => {
    expect(
      found(`device PS : Ac { inlet primary from DB.W1 }
device A : Quiet
device B : Quiet
feed F from PS.out using C15 { land A.supply 1 m  land B.supply 1 m }
`),
    ).toEqual(['supply-not-dedicated B.supply']);
  });
});

describe('silence', () => {
  it('of what is right: feeds from one outlet at both ends, decoupled outlets, optional inlets', () => {
    expect(
      found(`equipment Twin { role supply  inlet primary 230 VAC 0.5 A double-insulated terminals L, N  outlet out 24 VDC 10 A decoupled terminals P, M }
equipment Spare { role other  inlet supply 24 VDC 1 A optional terminals P, M }
device PS : Dc { inlet primary from DB.W1 }
device T1 : Twin { inlet primary from DB.W1 }
device T2 : Twin { inlet primary from DB.W2 }
device A : Amp
device B : Amp
device S : Spare
feed F from PS.out and PS.out using C15 { land A.supply 5 m  last 5 m }
feed G from T1.out and T2.out using C15 { land B.supply 5 m  last 5 m }
`),
    ).toEqual([]);
  });

  it('about points further up than the outlet of a dedicated inlet', () => {
    expect(
      found(`device P1 : Ac { inlet primary from DB.W1 }
device P2 : Ac { inlet primary from DB.W1 }
device A : Quiet
device B : Quiet
feed F from P1.out using C15 { land A.supply 1 m }
feed G from P2.out using C15 { land B.supply 1 m }
`),
    ).toEqual([]);
  });

  it('about mains cables in mm2 without stated ampacity, but not about gauges', () => {
    const text = (cable: string): string => `${cable}
equipment Heater { role other  inlet mains 230 VAC 1 A double-insulated terminals L, N }
board MB { way W1 230 VAC 16 A }
device H : Heater { inlet mains from MB.W1 using X 10 m }
`;
    expect(found(text('cable X { cores 2 x 0.75 mm2 class 5  colours BN, BU }'))).toEqual([]);
    expect(found(text('cable X { cores 2 x 14 AWG  colours BN, BU }'))).toEqual([
      'conductor-undersized H.mains',
    ]);
    expect(
      found(text('cable X { cores 2 x 0.75 mm2 class 5  colours BN, BU  ampacity 10 A }')),
    ).toEqual(['conductor-undersized H.mains']);
    expect(
      found(text('cable X { cores 2 x 4 mm2 class 5  colours BN, BU  ampacity 20 A }')),
    ).toEqual([]);
  });
});

describe('limits from memory', () => {
  it('make warnings that say so', () => {
    const { findings } = siteOf(`${TEMPLATES}
equipment Strong { role supply  inlet primary 230 VAC 2 A double-insulated terminals L, N  outlet out 24 VDC 20 A protected 20 A curve B terminals P, M }
equipment Twelve { role supply  inlet primary 230 VAC 2 A double-insulated terminals L, N  outlet out 12 VAC 100 VA class-2 terminals V0, V1 }
device PS : Strong { inlet primary from DB.W1 }
device PT : Twelve { inlet primary from DB.W2 }
device A : Amp
feed F from PS.out using C075 { land A.supply 1 m }
`);
    const told = findings.map(({ finding }) => [finding.rule, finding.severity]);
    expect(told).toEqual([
      ['class2-exceeded', 'warning'],
      ['conductor-undersized', 'warning'],
    ]);
    const [, undersized] = findings;
    expect(undersized!.finding.what).toMatch(
      /20 A, more than the 8\.5 A that it may carry \(135 % over\)\. Source of the limit: from memory/u,
    );
  });

  it('of Class 2 that were read are errors', () => {
    expect(
      found(`equipment Strong { role supply  inlet primary 230 VAC 2 A double-insulated terminals L, N  outlet out 24 VAC 101 VA class-2 terminals V0, V1 }
device PS : Strong { inlet primary from DB.W1 }
`),
    ).toEqual(['class2-exceeded Strong.out']);
  });
});

describe('green-yellow', () => {
  it('goes to PE by itself, and is misused only where nothing else is left', () => {
    const text = (
      colours: string,
      landing: string,
    ): string => `cable X { cores 3 x 1.5 mm2 class 5  colours ${colours} }
device PS : Ac { inlet primary from DB.W1 }
device A : Panel
feed F from PS.out using X { ${landing} }
`;
    expect(found(text('GNYE, BN, BU', 'land A.supply 5 m'))).toEqual([]);
    expect(found(text('GNYE, BN, BU', 'land A.supply 5 m cores BN, BU'))).toEqual([]);
    expect(found(text('GNYE, BN, BU', 'land A.supply 5 m cores GNYE, BU'))).toEqual([
      'core-colour-misused A.supply',
    ]);
    expect(
      found(`cable X { cores 2 x 1.5 mm2 class 5  colours GNYE, BN }
device PS : Ac { inlet primary from DB.W1 }
device A : Panel
device B : Panel
feed F from PS.out using X { land A.supply 5 m  land B.supply 5 m }
`),
    ).toEqual(['core-colour-misused A.supply']);
  });
});

describe('fixes', () => {
  it('give the nearest supply that fits, with the cover where terminals are exposed', () => {
    const text = `area Floor level 0 m { room Near at 1 m, 1 m  room Far at 60 m, 1 m }
equipment Open { role other  inlet supply 24 VAC 10 VA exposed terminals V0, V1 }
device P1 : Ac in Far { inlet primary from DB.W1 }
device P2 : Ac in Near { inlet primary from DB.W1 }
device A : Open in Near
`;
    const after = fixed(text, 'supply-missing');
    expect(after.titles).toEqual([
      'Feed A.supply from P2.out (60 VA to spare)',
      'Feed A.supply from P1.out (60 VA to spare)',
    ]);
    expect(after.text).toContain('inlet supply from P2.out covered');
    expect(found(after.text)).toEqual([]);
  });

  it('never take a source that is of another type, too small, taken, or fed by the device itself', () => {
    const text = `equipment Chain { role supply  inlet in 24 VAC 10 VA terminals V0, V1  outlet out 24 VAC 50 VA terminals V0, V1 }
device Full : Ac { inlet primary from DB.W1 }
device One : Ac { inlet primary from DB.W1 }
device Wrong : Dc { inlet primary from DB.W1 }
device B1 : Big { inlet supply from Full.out }
device B2 : Big { inlet supply from Full.out }
device Q : Quiet { inlet supply from One.out }
device Self : Chain
`;
    const site = siteOf(`${TEMPLATES}${text}`);
    const finding = site.findings.find(
      ({ finding: one }) => one.rule === 'supply-missing',
    )!.finding;
    expect(finding.subject).toBe('Self.in');
    expect(writtenFixes(site.open, finding)).toEqual([]);
    expect(finding.remedy).toContain('No way or outlet');
  });

  it('pass over a feed on which the voltage would no longer hold', () => {
    const text = `device P1 : Ac { inlet primary from DB.W1 }
device A : Big
device B : Panel
feed F from P1.out using C15 { land A.supply 50 m }
area Z { room R }
device P2 : Ac in R { inlet primary from DB.W1 }
`;
    expect(found(text)).toEqual(['supply-missing B.supply']);
    // At the end of F the inlets would have less than 21.6 V; its length is not known, so that end counts as near.
    const known = text
      .replace('device B : Panel', 'device B : Panel in R')
      .replace('device A : Big', 'device A : Big in R');
    const after = fixed(known, 'supply-missing');
    expect(after.titles).toContain('Feed B.supply from P2.out (60 VA to spare)');
    expect(found(after.text)).toEqual([]);
  });

  it('move a device to a supply with enough left, and leave nothing behind', () => {
    const text = `device P1 : Ac { inlet primary from DB.W1 }
device P2 : Ac { inlet primary from DB.W1 }
device A : Big
device B : Big
device C : Panel
feed F from P1.out using C15 {
  land A.supply 5 m
  land B.supply 5 m
  land C.supply 5 m
}
`;
    expect(found(text)).toEqual(['supply-overloaded P1.out']);
    const after = fixed(text, 'supply-overloaded');
    expect(after.titles).toEqual(['Move C.supply to P2.out (60 VA to spare)']);
    expect(found(after.text)).toEqual([]);
  });

  it('move a line to another way', () => {
    const text = `equipment Heater { role other  inlet mains 230 VAC 4 A double-insulated terminals L, N }
device H1 : Heater { inlet mains from DB.W1 }
device H2 : Heater { inlet mains from DB.W1 }
`;
    expect(found(text)).toEqual(['way-overloaded DB.W1']);
    const after = fixed(text, 'way-overloaded');
    expect(after.text).toContain('device H2 : Heater { inlet mains from DB.W2 }');
    expect(found(after.text)).toEqual([]);
  });

  it('take the thinnest cable of the site with which the verdict passes', () => {
    const text = `device PS : Dc { inlet primary from DB.W1 }
device A : Amp
feed F from PS.out using C15 { land A.supply 60 m }
`;
    expect(found(text)).toEqual(['inlet-undervoltage A.supply']);
    // 2.5 mm2 would lose 2.07 V: enough; 1.5 mm2 loses 3.44 V.
    const after = fixed(text, 'inlet-undervoltage');
    expect(after.titles).toEqual(['Use C25 for F']);
    expect(found(after.text)).toEqual([]);
    expect(fixed(text.replace('60 m', '100 m'), 'inlet-undervoltage').titles).toEqual([
      'Use C60 for F',
    ]);
  });
});

describe('what cannot be accepted', () => {
  it('is what guards life and equipment', () => {
    const guarded = [
      'class2-exceeded',
      'conductor-undersized',
      'isolation-unknown',
      'live-terminals-uncovered',
      'mains-beside-signal',
      'protective-earth-missing',
      'supply-type-mismatch',
      'way-overloaded',
    ];
    expect(
      RULES.filter((rule) => !rule.acceptable && rule.name !== 'waiver-refused')
        .map((rule) => rule.name)
        .sort(),
    ).toEqual(guarded);
  });
});
