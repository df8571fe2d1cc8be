/** Two laws for every fix of every page: it removes its finding, and it never breaks the text. */
import { readFileSync, readdirSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { Finding } from '../../src/model/finding.js';
import { writtenFixes } from '../../src/workbench/fixes.js';
import type { WrittenFix } from '../../src/workbench/fixes.js';
import { filesIn, siteOf } from '../support/site.js';
import type { TestSite } from '../support/site.js';

const folder = new URL('../../src/rules/', import.meta.url);
const common = { 'common.ferrule': readFileSync(new URL('common.ferrule', folder), 'utf8') };
const pages = readdirSync(folder)
  .filter((name) => name.endsWith('.md'))
  .sort();

/** Rules whose findings have a fix that computes something. A page of theirs without a fix is a mistake. */
const withFix = [
  'address-duplicate',
  'address-missing',
  'address-out-of-range',
  'address-reserved',
  'bus-power-undervoltage',
  'class2-exceeded',
  'conductor-undersized',
  'core-colour-misused',
  'host-duplicate',
  'host-in-pool',
  'host-on-reserved-address',
  'host-outside-subnet',
  'inlet-undervoltage',
  'isolation-unknown',
  'laptop-address-taken',
  'laptop-missing',
  'live-terminals-uncovered',
  'main-controller-duplicate',
  'mains-beside-signal',
  'protection-blind',
  'protective-earth-missing',
  'supply-missing',
  'supply-not-dedicated',
  'supply-overloaded',
  'supply-redundant',
  'supply-type-mismatch',
  'template-unused',
  'voltage-collapse',
  'voltage-drop-excessive',
  'waiver-refused',
  'waiver-unused',
  'way-overloaded',
];

describe('the fixes', () => {
  for (const page of pages) {
    const name = page.slice(0, -'.md'.length);
    const wrong = readFileSync(new URL(page, folder), 'utf8').split('## Right')[0] ?? '';
    const blocks = [...wrong.matchAll(/^```ferrule\n([\s\S]*?)^```$/gmu)].map(([, text]) => text!);
    blocks.forEach((text, index) => {
      it(`of ${name}, Wrong ${index + 1}, remove it and leave the text whole`, () => {
        const before = siteOf(text, common);
        const own = before.findings
          .map(({ finding }) => finding)
          .filter(({ rule }) => rule === name);
        const fixes = own.flatMap((finding) =>
          writtenFixes(before.open, finding).map((fix) => ({ finding, fix })),
        );
        expect(fixes.length > 0 || !withFix.includes(name)).toBe(true);
        for (const { finding, fix } of fixes) {
          const after = siteOf(applied(before, text, fix), common);
          expect({ fix: fix.title, left: still(after, finding) }).toEqual({
            fix: fix.title,
            left: [],
          });
          expect(broken(after)).toBeLessThanOrEqual(broken(before));
        }
      });
    });
  }
});

describe('a fix with a number in it', () => {
  it('takes the lowest free address of the bus', () => {
    const text = `use "./common.ferrule"
device ZP-1 : ZonePanel { address 1 }
device FU-1 : FanUnit { address 3 }
device FU-2 : FanUnit
bus zone-1 : ZoneLink using PlainPair { land ZP-1.zone  land FU-1.zone 8 m  land FU-2.zone 8 m }
`;
    expect(fixedBy(text, 'address-missing')).toContain('device FU-2 : FanUnit { address 2 }');
  });
  it('gives a relay a line a port where no address suits both', () => {
    const text = `use "./common.ferrule"
device TP-1 : TrunkPanel { address 1 }
device ZR-1 : ZoneRelay
${[2, 3, 4, 5, 6, 7, 8].map((address) => `device FU-${address} : FanUnit { address ${address} }`).join('\n')}
bus trunk-1 : TrunkLink using PlainPair { land TP-1.trunk  land ZR-1.trunk 8 m }
bus zone-1 : ZoneLink using PlainPair {
  land ZR-1.zone
${[2, 3, 4, 5, 6, 7, 8].map((address) => `  land FU-${address}.zone 4 m`).join('\n')}
}
`;
    const fixed = fixedBy(text, 'address-missing');
    expect(fixed).toMatch(/address 2 on trunk/u);
    expect(fixed).toMatch(/address 1 on zone/u);
    expect(siteOf(fixed, common).findings.map(({ finding }) => finding.rule)).not.toContain(
      'address-missing',
    );
  });
  it('takes the lowest free host address and the highest for the laptop', () => {
    const text = (lines: string) => `use "./common.ferrule"
device SG-1 : WebGateway
network controls 10.40.8.0/29 {
  router 10.40.8.1
  pool 10.40.8.5 .. 10.40.8.6
${lines}
}
`;
    expect(
      fixedBy(text('  host SG-1.lan 10.40.8.7\n  laptop 10.40.8.4'), 'host-on-reserved-address'),
    ).toContain('host SG-1.lan 10.40.8.2');
    expect(fixedBy(text('  host SG-1.lan 10.40.8.2'), 'laptop-missing')).toContain(
      'laptop 10.40.8.4',
    );
  });
});

describe('a misspelt rule', () => {
  it('becomes the one that was meant', () => {
    const text = `use "./common.ferrule"
site Mill "Mill house" { drawing "MH-1"  severity templat-unused off }
device FU-1 : FanUnit { address 40 }
bus zone-1 : ZoneLink using PlainPair { land FU-1.zone }
accept adress-out-of-range on FU-1 because "agreed" until 2027-03-31
`;
    const once = fixedBy(text, 'name-unknown');
    const twice = fixedBy(once, 'name-unknown');
    expect(twice).toContain('severity template-unused off');
    expect(twice).toContain('accept address-out-of-range on FU-1');
    expect(siteOf(twice, common).findings.map(({ finding }) => finding.rule)).not.toContain(
      'name-unknown',
    );
  });
});

/** The text after a fix; one of several files is a text of several files again. */
function applied(before: TestSite, text: string, fix: WrittenFix): string {
  const files = filesIn(text);
  expect(fix.changes.every(({ file }) => file in files)).toBe(true);
  const after = Object.entries(files).map(([name, content]): [string, string] => [
    name,
    [...fix.changes]
      .filter(({ file }) => file === name)
      .sort((one, other) => other.start - one.start)
      .reduce(
        (result, { start, end, text: put }) => result.slice(0, start) + put + result.slice(end),
        content,
      ),
  ]);
  expect(before.root in files).toBe(true);
  return after.length === 1
    ? after[0]![1]
    : after.map(([name, content]) => `//- ${name}\n${content}`).join('');
}

function fixedBy(text: string, rule: string): string {
  const site = siteOf(text, common);
  const finding = site.findings.find((one) => one.finding.rule === rule)!.finding;
  return applied(site, text, writtenFixes(site.open, finding)[0]!);
}

/** The same finding in a fixed site: same rule, same subject, same words. */
function still(after: TestSite, finding: Finding): string[] {
  return after.findings
    .filter(
      (one) =>
        one.finding.rule === finding.rule &&
        one.finding.subject === finding.subject &&
        one.finding.what === finding.what,
    )
    .map((one) => one.finding.what);
}

function broken(site: TestSite): number {
  return site.findings.filter(({ finding }) =>
    ['syntax-error', 'name-unknown', 'quantity-unit-mismatch'].includes(finding.rule),
  ).length;
}
