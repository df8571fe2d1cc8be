/** The order of a bus along the shortest route: what is offered, what it saves, and what stays as it was. */
import { describe, expect, it } from 'vitest';
import { reorderFix, reorderingOf } from '../../src/analysis/bus/reorder.js';
import { factOf } from '../../src/analysis/facts.js';
import { reorderedBus, writtenFixes } from '../../src/workbench/fixes.js';
import { applyChanges } from '../../src/language/write.js';
import { randomFrom, seedOfThisRun } from '../support/random.js';
import { counted, lines, siteOf } from '../support/site.js';
import type { TestSite } from '../support/site.js';

const TEMPLATES = `
bustype Line { conductors 2  shape chain  length total 100 m  length farthest 100 m  terminate both-ends 120 ohm  controllers 4 }
cable Pair { cores 2 x 0.75 mm2 class 5 }
equipment Head { role outdoor-unit  port p : Line terminals A, B as controller }
equipment Unit { role sensor  port p : Line terminals A, B as responder }
equipment End { role sensor  port p : Line terminals A, B as responder { terminator 120 ohm } }
area L1 level 0 m { room A at 0 m, 0 m  room B at 10 m, 0 m  room C at 20 m, 0 m  room D at 30 m, 0 m }
area L2 level 4 m { room E at 30 m, 0 m }
device H : Head in A
device U-1 : Unit in B
device U-2 : Unit in C
device U-3 : Unit in D
device X-1 : End in B
device X-4 : End in E
`;

function reordered(site: TestSite, bus = 'line'): string | undefined {
  const fix = reorderedBus(site.open, bus);
  return fix && applyChanges(site.open.files[0]!.text, fix.changes);
}

function busText(text: string | undefined): string | undefined {
  return text?.slice(text.indexOf('bus line'));
}

describe('a bus in a better order', () => {
  it('starts at its controller, moves its terminator, its comments and its lengths', () => {
    const site = siteOf(`${TEMPLATES}
bus line : Line using Pair {
  land H.p terminated
  // the far one first
  land U-3.p bonded  // by the window
  land U-1.p 25 m
  land U-2.p terminated
}
`);
    expect(reorderFix(site.site, site.site.buses.get('line')!)!.title).toBe(
      'Reorder line along the shortest route: 31 m less cable',
    );
    expect(busText(reordered(site))).toBe(`bus line : Line using Pair {
  land H.p terminated
  // the far one first
  land U-1.p
  land U-2.p
  land U-3.p terminated bonded  // by the window
}
`);
  });

  it('keeps the length between two that stay neighbours, whichever way round', () => {
    const site = siteOf(`${TEMPLATES}
bus line : Line using Pair { land H.p  land U-3.p 40 m  land U-2.p 13.5 m  land U-1.p 16 m terminated }
`);
    expect(busText(reordered(site))).toBe(
      'bus line : Line using Pair { land H.p  land U-1.p  land U-2.p 16 m  land U-3.p 13.5 m terminated }\n',
    );
    expect(reorderingOf(site.site, site.site.buses.get('line')!)!.savedM).toBe(40 - 14);
  });

  it('keeps an end with a terminator built in, and leaves alone what cannot be judged', () => {
    const landed = (body: string) =>
      reordered(siteOf(`${TEMPLATES}\nbus line : Line using Pair { ${body} }\n`));
    expect(landed('land H.p  land U-3.p  land U-1.p  land X-4.p')).toBeDefined();
    expect(busText(landed('land U-3.p terminated  land U-1.p  land U-2.p  land X-4.p'))).toContain(
      'land X-4.p }',
    );
    for (const body of [
      'land H.p  land U-3.p  land X-1.p  land U-2.p',
      'land H.p  land U-3.p  land U-1.p existing  land U-2.p',
      'land H.p  land U-3.p { spur 2 m { land U-1.p } }  land U-2.p',
      'land H.p  land U-3.p  land U-1.p  land U-2.p  ring 9 m',
      'land H.p  land U-3.p  land U-1.p using Pair  land U-2.p',
      'land H.p  land U-1.p  land U-2.p  land U-3.p',
      'land H.p  land U-3.p  land NOBODY.p  land U-2.p',
    ]) {
      expect({ body, text: landed(body) }).toEqual({ body, text: undefined });
    }
    const nowhere = siteOf(`${TEMPLATES}
device N : Unit
bus line : Line using Pair { land H.p  land U-3.p  land N.p 3 m  land U-1.p }
`);
    expect(reordered(nowhere)).toBeUndefined();
  });

  it('mends bus-too-long and bus-farthest-too-far where that is enough', () => {
    const site = siteOf(`${TEMPLATES}
bus line : Line using Pair {
  land H.p terminated
  land U-3.p
  land U-1.p
  land U-2.p
  land X-4.p
}
`);
    // 34 + 24 + 14 + 18 m are 90 m: short enough as it is.
    expect(lines(counted(site.findings)).filter((line) => line.includes('too-'))).toEqual([]);
    const tight = siteOf(site.open.files[0]!.text.replaceAll('100 m', '80 m'));
    const found = counted(tight.findings).filter(({ finding }) => /too-/u.test(finding.rule));
    expect(found.map(({ finding }) => finding.rule).sort()).toEqual([
      'bus-farthest-too-far',
      'bus-too-long',
    ]);
    for (const { finding } of found) {
      const fixes = writtenFixes(tight.open, finding);
      expect(fixes.map(({ title }) => title)).toEqual([
        'Reorder line along the shortest route: 40 m less cable',
      ]);
      const after = siteOf(applyChanges(tight.open.files[0]!.text, fixes[0]!.changes));
      expect(lines(counted(after.findings)).filter((line) => line.includes('too-'))).toEqual([]);
    }
    const hopeless = siteOf(site.open.files[0]!.text.replaceAll('100 m', '40 m'));
    for (const { finding } of hopeless.findings.filter((one) => /too-/u.test(one.finding.rule))) {
      expect(writtenFixes(hopeless.open, finding)).toEqual([]);
    }
  });

  it('saves what its title says, keeps every port, and brings no new error, on random houses', () => {
    const seed = seedOfThisRun();
    const random = randomFrom(seed);
    let offered = 0;
    let proved = 0;
    for (let run = 0; run < 300; run += 1) {
      const text = randomHouse(random.integer);
      const before = siteOf(text);
      const bus = before.site.buses.get('line')!;
      const fix = reorderFix(before.site, bus);
      if (fix === undefined) {
        continue;
      }
      offered += 1;
      proved += fix.title.includes('the shortest') ? 1 : 0;
      const after = siteOf(reordered(before)!);
      const label = `seed ${seed}, run ${run}\n${text}`;
      const then = after.site.buses.get('line')!;
      const ports = (landings: typeof bus.landings): readonly string[] =>
        landings.map(({ device, member }) => `${device}.${member}`).sort();
      expect(ports(then.landings), label).toEqual(ports(bus.landings));
      expect(then, label).toEqual(reorderingOf(before.site, bus)!.trial.buses.get('line'));
      const lengthM = (site: TestSite): number =>
        factOf(site.site, 'line', 'total-length')!.value as number;
      const savedM = Number(/: ([\d.]+) m less/u.exec(fix.title)![1]);
      expect(lengthM(before) - lengthM(after), label).toBeCloseTo(savedM, 0);
      const rules = (site: TestSite): readonly string[] =>
        counted(site.findings).map(({ finding }) => `${finding.rule} ${finding.subject}`);
      expect(
        rules(after).filter((one) => !rules(before).includes(one)),
        label,
      ).toEqual([]);
    }
    expect(offered).toBeGreaterThan(150);
    expect(proved).toBeGreaterThan(50);
    expect(offered - proved).toBeGreaterThan(20);
  });
});

/** A bus over rooms in an order that nobody would lay, sometimes powered, some of its lengths stated. */
function randomHouse(integer: (low: number, high: number) => number): string {
  const count = integer(3, 20);
  const isPowered = integer(0, 1) === 1;
  const power = isPowered ? 'power 24 VDC minimum 20 VDC  length source 150 m' : '';
  const rooms = Array.from(
    { length: count },
    (_, index) => `room R${index} at ${integer(0, 50)} m, ${integer(0, 20)} m`,
  );
  const giver = isPowered ? integer(0, count - 1) : 0;
  const devices = Array.from(
    { length: count },
    (_, index) => `device D-${index} : ${index === giver ? 'Head' : 'Unit'} in R${index}`,
  );
  const landings = Array.from({ length: count }, (_, index) => {
    const stated = index > 0 && integer(0, 2) === 0 ? ` ${integer(50, 700) / 10} m` : '';
    const ends = index === 0 || index === count - 1 ? ' terminated' : '';
    return `  land D-${index}.p${stated}${ends}`;
  });
  return `
bustype Line { conductors 2  shape chain  length total 400 m  terminate both-ends 120 ohm  signal rs485 { rate 9600 baud }  ${power} }
cable Pair { cores 2 x 0.75 mm2 class 5 }
equipment Head { role outdoor-unit  port p : Line terminals A, B as controller { ${isPowered ? 'gives 24 VDC up to 2 A' : 'bias 560 ohm 5 VDC'} } }
equipment Unit { role sensor  port p : Line terminals A, B as responder { ${isPowered ? 'takes 20 mA' : 'unit-load 1'} } }
area L1 level 0 m { ${rooms.join('  ')} }
${devices.join('\n')}
bus line : Line using Pair {
${landings.join('\n')}
}
`;
}
