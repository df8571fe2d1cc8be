/** Severities, waivers and the order of findings. */
import { describe, expect, it } from 'vitest';
import { acceptFix, evaluate, fixesOf, isAcceptable } from '../../src/rules/evaluate.js';
import { RULES } from '../../src/rules/index.js';
import { RAISED_RULES } from '../../src/rules/raised.js';
import { defineRule } from '../../src/rules/rule.js';
import type { Rule } from '../../src/rules/rule.js';
import type { Finding, Severity } from '../../src/model/finding.js';
import { placeOf } from '../../src/model/origin.js';
import { siteOf } from '../support/site.js';

const on = '2026-11-25';

/** A rule that measures each bus: the digits of its name are its value. */
const busMeasured = defineRule({
  name: 'bus-measured',
  severity: 'error',
  of: 'bus',
  acceptable: true,
  *check(_site, bus) {
    const value = Number(/\d+/.exec(bus.name)?.[0]);
    yield {
      ...problem(bus.name),
      waivable: { value, unit: 'm' },
      ...(value === 7 ? { severity: 'warning' as const } : {}),
    };
  },
});
const busTooLow = defineRule({
  name: 'bus-too-low',
  severity: 'error',
  of: 'bus',
  acceptable: true,
  *check(_site, bus) {
    yield { ...problem(bus.name), waivable: { value: 11.5, unit: 'V', lowerIsWorse: true } };
  },
});
const busPlain = defineRule({
  name: 'bus-plain',
  severity: 'warning',
  of: 'bus',
  acceptable: true,
  *check(_site, bus) {
    yield problem(bus.name);
  },
});
const busGuarded = defineRule({
  name: 'bus-guarded',
  severity: 'error',
  of: 'bus',
  acceptable: false,
  *check(_site, bus) {
    yield problem(bus.name);
  },
});
const waiverRules = RULES.filter((rule) => rule.after === 'waivers');
const rules: readonly Rule[] = [busMeasured, busTooLow, busPlain, busGuarded, ...waiverRules];

describe('severity lines', () => {
  const judged = (severities: string) =>
    judge(`site S "S" { ${severities} }\nbus b-7 : T { }\nbus b-8 : T { }`, [busMeasured]);

  it('change a severity, and the last line about a rule counts', () => {
    expect(levels(judged('severity bus-measured error  severity bus-measured hint'))).toEqual([
      'b-7 hint',
      'b-8 hint',
    ]);
  });
  it('turn a rule off', () => {
    expect(levels(judged('severity bus-measured off'))).toEqual([]);
  });
  it('make no more of a finding that its rule holds for less', () => {
    expect(levels(judged('severity bus-measured error'))).toEqual(['b-7 warning', 'b-8 error']);
  });
  it('do not touch a rule that guards life, and are reported', () => {
    const findings = judge('site S "S" { severity bus-guarded off }\nbus b-1 : T { }', [
      busGuarded,
      ...waiverRules,
    ]);
    expect(findings.map(({ rule, subject }) => `${rule} ${subject}`)).toEqual([
      'waiver-refused S',
      'bus-guarded b-1',
    ]);
    expect(findings[0]?.at).toEqual(placeOf('S', 'severity/0'));
  });
  it('name rules that exist', () => {
    const [finding] = judge('site S "S" { severity bus-mesured off }', [busMeasured]);
    expect(finding).toMatchObject({
      rule: 'name-unknown',
      remedy: 'Did you mean bus-measured?',
      at: placeOf('S', 'severity/0'),
    });
  });
});

describe('waivers', () => {
  const judged = (...waivers: string[]) =>
    judge(['bus b-9 : T { }', 'bus b-20 : T { }', ...waivers].join('\n'), rules).filter(
      ({ rule, waived }) => rule.startsWith('waiver') || waived !== null,
    );
  const said = (findings: readonly Finding[]) =>
    findings.map(({ rule, subject, waived }) => `${rule} ${subject}${waived ? ' waived' : ''}`);

  it('cover a finding, and keep it with reason, day and value', () => {
    const [finding] = judged('accept bus-measured on b-9 up to 9 m because "why" until 2026-12-01');
    expect(finding).toMatchObject({
      rule: 'bus-measured',
      waived: { because: 'why', until: '2026-12-01', upTo: { value: 9, unit: 'm' } },
    });
  });
  it('still hold on their last day, and not on the next', () => {
    expect(said(judged('accept bus-plain on b-9 because "why" until 2026-11-25'))).toEqual([
      'bus-plain b-9 waived',
    ]);
    expect(said(judged('accept bus-plain on b-9 because "why" until 2026-11-24'))).toEqual([
      'waiver-expired b-9',
    ]);
  });
  it('are exceeded by a greater value, and by a lower one where lower is worse', () => {
    expect(
      said(
        judged(
          'accept bus-measured on b-20 up to 19.9 m because "why" until 2027-01-01',
          'accept bus-too-low on b-20 up to 11.6 V because "why" until 2027-01-01',
          'accept bus-too-low on b-9 up to 11.4 V because "why" until 2027-01-01',
        ),
      ),
    ).toEqual(['bus-too-low b-9 waived', 'waiver-exceeded b-20', 'waiver-exceeded b-20']);
  });
  it('that cannot be compared accept nothing', () => {
    const findings = judged('accept bus-plain on b-20 up to 30 m because "why" until 2027-01-01');
    expect(findings.map((finding) => finding.what)).toEqual([
      'This accepts nothing: bus-plain measures nothing that "up to" could be compared with.',
    ]);
  });
  it('with a wrong unit are an error, in place of the finding that they were meant for', () => {
    const text = `bus b-20 : T { }
accept bus-measured on b-20 up to 30 V because "why" until 2027-01-01
`;
    const findings = judge(text, [busMeasured]);
    expect(findings).toMatchObject([
      {
        rule: 'quantity-unit-mismatch',
        severity: 'error',
        at: { part: 'upto' },
        what: '"up to 30 V" cannot be compared: bus-measured is measured in m.',
      },
    ]);
  });
  it('without a reason or a day accept nothing; a blank reason is none', () => {
    const text = ['bus b-9 : T { }'];
    for (const waiver of [
      'accept bus-plain on b-9 because "why"',
      'accept bus-plain on b-9 until 2027-01-01',
      'accept bus-plain on b-9 because "  " until 2027-01-01',
    ]) {
      const { site, findings } = siteOf([...text, waiver].join('\n'));
      const [plain] = evaluate(site, { on, rules: [busPlain] });
      expect(plain?.waived).toBeNull();
      // It is said once, by the text or by the rule.
      const about = [
        ...findings.map(({ finding }) => finding).filter(({ rule }) => rule === 'syntax-error'),
        ...evaluate(site, { on, rules }).filter(({ rule }) => rule === 'waiver-unused'),
      ];
      expect(about).toHaveLength(1);
    }
  });
  it('on nothing are unused, and say where the rule is raised instead', () => {
    expect(said(judged('accept bus-plain on T because "why" until 2027-01-01'))).toEqual([]);
    const { site } = siteOf(
      'equipment T { role other }\nbus b-1 : X { }\naccept bus-plain on T because "why" until 2027-01-01',
    );
    expect(said(evaluate(site, { on, rules: [busPlain, ...waiverRules] }))).toEqual([
      'bus-plain b-1',
      'waiver-unused T',
    ]);
  });
  it('on a guarding rule are refused', () => {
    expect(said(judged('accept bus-guarded on b-9 because "why" until 2027-01-01'))).toEqual([
      'waiver-refused b-9',
    ]);
  });
  it('on a rule that does not exist are reported as a name', () => {
    const findings = judge(
      'bus b-9 : T { }\naccept bus-plian on b-9 because "why" until 2027-01-01',
      rules,
    ).filter(({ rule }) => rule === 'name-unknown');
    expect(findings).toMatchObject([
      { at: { part: 'rule' }, remedy: 'Did you mean bus-plain?', severity: 'error' },
    ]);
  });
  it('leave an expired line nothing to say where another one covers', () => {
    expect(
      said(
        judged(
          'accept bus-plain on b-9 because "first" until 2026-01-01',
          'accept bus-plain on b-9 because "again" until 2027-01-01',
        ),
      ),
    ).toEqual(['bus-plain b-9 waived', 'waiver-unused b-9']);
  });
  it('may accept a finding about a waiver', () => {
    expect(
      said(
        judged(
          'accept bus-plain on b-9 because "first" until 2026-01-01',
          'accept waiver-expired on b-9 because "the board meets next week" until 2026-12-01',
        ),
      ),
    ).toEqual(['waiver-expired b-9 waived']);
    expect(said(judged('accept waiver-expired on b-9 because "nothing" until 2026-12-01'))).toEqual(
      ['waiver-unused b-9'],
    );
  });
  it('cover findings that the language raised', () => {
    const { site } = siteOf(
      'bus b-9 : T { }\naccept name-shadowed on b-9 because "same thing" until 2027-01-01',
    );
    const raised: Finding = {
      rule: 'name-shadowed',
      severity: 'warning',
      subject: 'b-9',
      at: placeOf('b-9'),
      what: '',
      why: '',
      remedy: '',
      related: [],
      facts: [],
      waived: null,
    };
    expect(evaluate(site, { on, rules: [], raised: [raised] })[0]?.waived).not.toBeNull();
  });
});

describe('the fix that accepts', () => {
  it('covers what it accepts, and no more than today', () => {
    const { site } = siteOf('bus b-9 : T { }');
    const finding = evaluate(site, { on, rules: [busMeasured] })[0]!;
    expect(acceptFix(finding, 'why', '2027-01-01').edits).toEqual([
      {
        kind: 'add-waiver',
        rule: 'bus-measured',
        subject: 'b-9',
        upTo: '9 m',
        because: 'why',
        until: '2027-01-01',
      },
    ]);
    const rounded = (value: number, lowerIsWorse?: true) =>
      acceptFix(
        {
          ...finding,
          waivable: { value, unit: 'V', ...(lowerIsWorse ? { lowerIsWorse } : {}) },
        },
        'why',
        '2027-01-01',
      ).edits[0];
    expect(rounded(10.00012)).toMatchObject({ upTo: '10.001 V' });
    expect(rounded(10.00092, true)).toMatchObject({ upTo: '10 V' });
    expect(rounded(-0.00004)).toMatchObject({ upTo: '0 V' });
  });
});

describe('an unused waiver', () => {
  it('goes by a safe fix, which is all that it takes', () => {
    const { site } = siteOf(
      'bus b-9 : T { }\naccept laptop-missing on b-9 because "x" until 2027-01-01',
    );
    const finding = evaluate(site, { on }).find(({ rule }) => rule === 'waiver-unused')!;
    expect(fixesOf(site, finding)).toEqual([
      {
        title: 'Remove the waiver of laptop-missing on b-9',
        kind: 'safe',
        edits: [
          {
            kind: 'remove-statement',
            at: { declaration: 'accept laptop-missing on b-9', part: '' },
          },
        ],
      },
    ]);
  });
});

describe('the order of findings', () => {
  it('is by declaration, then by part, then by rule', () => {
    const { site } = siteOf('bus b-2 : T { }\nbus b-10 : T { }\nbus b-1 : T { }');
    const findings = evaluate(site, { on, rules: [busPlain, busMeasured] });
    expect(findings.map(({ rule, subject }) => `${subject} ${rule}`)).toEqual([
      'b-2 bus-plain',
      'b-2 bus-measured',
      'b-10 bus-plain',
      'b-10 bus-measured',
      'b-1 bus-plain',
      'b-1 bus-measured',
    ]);
    expect(evaluate(site, { on, rules: [busPlain, busMeasured] })).toEqual(findings);
  });
});

describe('the table of rules', () => {
  const all = [...RULES, ...RAISED_RULES];
  const warnings = new Set([
    'template-unused',
    'import-unused',
    'name-shadowed',
    'waiver-unused',
    'waiver-expired',
    'waiver-exceeded',
    'port-unlanded',
    'screen-unbonded',
    'screen-bonded-twice',
    'voltage-drop-excessive',
    'default-address-clash',
    'page-scheme-insecure',
    'protection-blind',
    'terminal-overfilled',
  ]);
  const hints = new Set(['template-deprecated', 'length-estimated']);
  const guarding = [
    'class2-exceeded',
    'conductor-undersized',
    'isolation-unknown',
    'live-terminals-uncovered',
    'mains-beside-signal',
    'protective-earth-missing',
    'supply-type-mismatch',
    'way-overloaded',
  ];
  const aboutText = [
    'import-cycle',
    'import-missing',
    'import-unreadable',
    'name-duplicate',
    'name-unknown',
    'package-altered',
    'package-language-unsupported',
    'package-missing',
    'package-unreadable',
    'package-versions-mixed',
    'quantity-unit-mismatch',
    'syntax-error',
    'template-recursive',
    'assembly-too-large',
  ];

  it('has each name once', () => {
    expect(new Set(all.map((rule) => rule.name)).size).toBe(all.length);
  });
  it('weighs each rule as agreed', () => {
    const expected = (name: string): Severity =>
      hints.has(name) ? 'hint' : warnings.has(name) ? 'warning' : 'error';
    expect(all.map((rule) => `${rule.name} ${rule.severity}`)).toEqual(
      all.map((rule) => `${rule.name} ${expected(rule.name)}`),
    );
  });
  it('refuses waivers for what guards life or equipment, and for unread text', () => {
    const refused = all.filter((rule) => !isAcceptable(rule.name)).map((rule) => rule.name);
    const listed = [...guarding, ...aboutText].filter((name) =>
      all.some((rule) => rule.name === name),
    );
    expect(refused.sort()).toEqual(listed.sort());
  });
});

function problem(subject: string) {
  return { subject, at: placeOf(subject), what: 'It is so.', why: '', remedy: 'Mend it.' };
}

function judge(text: string, used: readonly Rule[]): readonly Finding[] {
  return evaluate(siteOf(text).site, { on, rules: used });
}

function levels(findings: readonly Finding[]): string[] {
  return findings.map(({ subject, severity }) => `${subject} ${severity}`);
}
