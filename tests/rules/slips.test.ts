/** One slip of the pen gives one finding: rules about the whole leave its consequences unsaid. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { siteOf } from '../support/site.js';

const common = {
  'common.ferrule': readFileSync(
    new URL('../../src/rules/common.ferrule', import.meta.url),
    'utf8',
  ),
};

const right = `use "./common.ferrule"

device TP-1 : TrunkPanel { address 1 }
device ZR-1 : ZoneRelay { address 2 }
device FU-1 : FanUnit { address 3 }
device FU-2 : FanUnit { address 4 }
device SG-1 : WebGateway

bus trunk-1 : TrunkLink using PlainPair {
  land TP-1.trunk
  land ZR-1.trunk 8 m
}
bus zone-1 : ZoneLink using PlainPair {
  land ZR-1.zone
  land FU-1.zone 8 m
  land FU-2.zone 8 m
}

zone Readers { unit FU-1  unit FU-2 }
observed TP-1 finds 2 on 2026-11-20

network controls 10.40.8.0/24 {
  router 10.40.8.1
  host SG-1.lan 10.40.8.20
  laptop 10.40.8.254
}
`;

/** The rules that look at the site as a whole, and so could repeat a slip in other words. */
const aboutTheWhole = [
  'address-missing',
  'unit-unsupervised',
  'zone-unreachable',
  'observed-count-mismatch',
  'laptop-missing',
  'template-unused',
  'waiver-unused',
];

describe('a slip', () => {
  it('stands in a text that is right otherwise', () => {
    expect(siteOf(right, common).findings).toEqual([]);
  });

  it.each([
    ['a misspelt keyword', 'land TP-1.trunk', 'lnad TP-1.trunk', 'syntax-error'],
    ['a misspelt device', 'land TP-1.trunk', 'land TP-9.trunk', 'name-unknown'],
    ['a misspelt port', 'land ZR-1.zone', 'land ZR-1.zoen', 'name-unknown'],
    ['a misspelt piece of equipment', ': TrunkPanel', ': TrunkPanle', 'name-unknown'],
    ['a misspelt declaration', 'bus zone-1 :', 'bsu zone-1 :', 'syntax-error'],
    ['a misspelt unit of a zone', 'unit FU-2', 'unit FU-3', 'name-unknown'],
    ['an address that is none', 'address 4', 'address four', 'syntax-error'],
    ['a misspelt laptop', 'laptop 10', 'labtop 10', 'syntax-error'],
  ])('in %s', (_, from, to, rule) => {
    const text = right.replace(from, to);
    expect(text).not.toBe(right);
    const rules = siteOf(text, common).findings.map(({ finding }) => finding.rule);
    expect(rules).toContain(rule);
    expect(rules.filter((one) => aboutTheWhole.includes(one))).toEqual([]);
  });

  it('does not hide what is wrong elsewhere', () => {
    const text = right
      .replace('land FU-2.zone 8 m', 'lnad FU-2.zone 8 m')
      .replace('address 3', 'address 31')
      .replace('10.40.8.254', '10.40.9.254')
      .concat(
        'device FU-3 : FanUnit { address 5 }\ndevice FU-4 : FanUnit { address 5 }\n',
        'bus zone-2 : ZoneLink using PlainPair { land FU-3.zone  land FU-4.zone 8 m }\n',
      );
    const rules = siteOf(text, common).findings.map(
      ({ finding }) => `${finding.rule} ${finding.subject}`,
    );
    for (const one of [
      'address-out-of-range FU-1',
      'host-outside-subnet controls',
      'address-duplicate FU-4',
      'unit-unsupervised FU-3',
      'unit-unsupervised FU-4',
    ]) {
      expect(rules).toContain(one);
    }
    expect(rules).not.toContain('unit-unsupervised FU-2');
  });
});
