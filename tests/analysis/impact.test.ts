/** What a failure takes away, against taking it out and starting the site anew, and case by case. */
import { describe, expect, it } from 'vitest';
import {
  elementNamed,
  elementsOf,
  factOfImpact,
  impactOf,
  isFoundIntact,
} from '../../src/analysis/graph/impact.js';
import { controllersFinding } from '../../src/analysis/graph/supervision.js';
import { splitText } from '../../src/language/split.js';
import { memoryFiles } from '../../src/workbench/files.js';
import { Workbench } from '../../src/workbench/workbench.js';
import { failingSite, lossOf, simulate } from '../support/failing-sites.js';
import { randomFrom, seedOfThisRun } from '../support/random.js';
import { lines, siteOf, testDay } from '../support/site.js';

describe('impact on random sites', () => {
  it('is what taking each element out shows', () => {
    const seed = seedOfThisRun();
    const random = randomFrom(seed);
    const lost = { withoutSupply: 0, notFound: 0, withoutController: 0, withoutSource: 0 };
    const lostBy = { named: 0, cable: 0, line: 0, host: 0 };
    for (let run = 0; run < 400; run += 1) {
      const text = failingSite(random);
      const { site, findings } = siteOf(text);
      const unread = findings.filter(({ finding }) => /syntax|name-/u.test(finding.rule));
      expect(lines(unread), `seed ${seed}, run ${run}\n${text}`).toEqual([]);
      const intact = simulate(site, undefined);
      for (const unit of site.devices.values()) {
        const role = site.equipment.get(unit.equipment)!.role;
        if (role === 'indoor-unit' || role === 'outdoor-unit') {
          expect(isFoundIntact(site, unit.name), `seed ${seed}, run ${run}: ${unit.name}`).toBe(
            intact.found.has(unit.name),
          );
          // As long as everything has power, what is found is what supervision says.
          if (intact.supplied.size === site.devices.size && site.networks.size === 0) {
            expect(controllersFinding(site, unit.name).length > 0).toBe(
              intact.found.has(unit.name),
            );
          }
        }
      }
      for (const element of elementsOf(site)) {
        const loss = lossOf(intact, simulate(site, element), element);
        expect(
          impactOf(site, element),
          `seed ${seed}, run ${run}: ${JSON.stringify(element)}\n${text}`,
        ).toEqual(loss);
        for (const kind of Object.keys(lost) as (keyof typeof lost)[]) {
          lost[kind] += loss[kind].length;
          lostBy[element.kind] += loss[kind].length;
        }
      }
    }
    // The sites are worth the search.
    for (const [kind, count] of Object.entries({ ...lost, ...lostBy })) {
      expect({ kind, isEnough: count > 100 }).toEqual({ kind, isEnough: true });
    }
  });
});

describe('impact while a site is edited', () => {
  it('is that of a site opened anew after every edit', () => {
    const seed = seedOfThisRun();
    const random = randomFrom(seed);
    const first = failingSite(random);
    const lived = new Workbench(memoryFiles({ 'site.ferrule': first }));
    lived.check('site.ferrule', testDay);
    for (let edit = 0; edit < 60; edit += 1) {
      const text = edit % 3 === 2 ? failingSite(random) : cut(first, random.next());
      lived.setText('site.ferrule', text);
      const { site } = lived.check('site.ferrule', testDay)!.open;
      const fresh = siteOf(text).site;
      for (const element of elementsOf(fresh)) {
        expect(impactOf(site, element), `seed ${seed}, edit ${edit}\n${text}`).toEqual(
          impactOf(fresh, element),
        );
      }
    }
  });

  /** The text without one of its declarations. */
  function cut(text: string, share: number): string {
    const pieces = splitText(text);
    return pieces
      .filter((_, index) => index !== Math.floor(share * pieces.length))
      .map((piece) => piece.text)
      .join('');
  }
});

const TEMPLATES = `bustype Line { conductors 2  shape free }
bustype Panel { conductors 2 }
equipment Outdoor { role outdoor-unit  inlet mains 230 VAC 1 A  port line : Line as controller  supervises indoor-unit via line }
equipment Indoor { role indoor-unit  inlet mains 230 VAC 1 A  port line : Line as responder  port panel : Panel as responder { gives 15 VDC } }
equipment Wall { role room-controller  port panel : Panel as controller { takes 9 mA }  supervises indoor-unit via panel }
`;

describe('impact case by case', () => {
  const { site } = siteOf(`${TEMPLATES}
board B { way W1 230 VAC 9 A  way W2 230 VAC 9 A }
isolator Q1 on B.W2 lockable
device OU : Outdoor { inlet mains from B.W1 }
device IU-1 : Indoor { inlet mains from B.W2 }
device IU-2 : Indoor { inlet mains from B.W2 }
device IU-3 : Indoor { inlet mains from B.W2 }
device RC : Wall
bus line : Line {
  land OU.line
  land IU-1.line 9 m
  land IU-2.line 9 m { spur 3 m { land IU-3.line } }
}
bus panel : Panel { land IU-3.panel  land RC.panel 5 m }
`);
  const named = (name: string) => impactOf(site, elementNamed(site, name)!);
  const nothing = { withoutSupply: [], notFound: [], withoutController: [], withoutSource: [] };

  it('of a cable is what lies behind it and what no other controller finds', () => {
    expect(named('IU-1.line')).toEqual({ ...nothing, notFound: ['IU-1', 'IU-2'] });
    // IU-3 is found by its wall controller all the same.
    expect(named('IU-3.line')).toEqual(nothing);
  });

  it('of a way or the isolator on it is all that it feeds, over powered buses too', () => {
    const all = {
      withoutSupply: ['IU-1', 'IU-2', 'IU-3', 'RC'],
      notFound: ['IU-1', 'IU-2', 'IU-3'],
      withoutController: ['panel'],
      withoutSource: ['panel'],
    };
    expect(named('B.W2')).toEqual(all);
    expect(named('Q1')).toEqual(all);
    expect(named('B')).toMatchObject({ withoutController: ['line', 'panel'] });
  });

  it('of a unit is itself as a unit, and what it powers; the line passes its terminals', () => {
    expect(named('IU-1')).toEqual({ ...nothing, notFound: ['IU-1'] });
    expect(named('IU-3')).toEqual({
      withoutSupply: ['RC'],
      notFound: ['IU-3'],
      withoutController: ['panel'],
      withoutSource: ['panel'],
    });
  });

  it('of the cable to an inlet is its device', () => {
    expect(named('OU.mains')).toEqual({
      withoutSupply: ['OU'],
      notFound: ['IU-1', 'IU-2'],
      withoutController: ['line'],
      withoutSource: [],
    });
  });

  it('is a value with terms, and nothing for a name that stands for nothing', () => {
    expect(factOfImpact(site, 'IU-3')).toMatchObject({
      subject: 'IU-3',
      fact: 'impact',
      value: ['IU-3', 'RC', 'panel'],
      terms: [
        { name: 'devices without supply', value: 'RC' },
        { name: 'units that no controller finds', value: 'IU-3' },
        { name: 'buses without a controller', value: 'panel' },
        { name: 'buses without a source', value: 'panel' },
      ],
    });
    expect(factOfImpact(site, 'IU-9')).toBeUndefined();
    expect(factOfImpact(site, 'line')).toBeUndefined();
  });

  it('of a cable in a ring is nothing', () => {
    const ring = siteOf(`${TEMPLATES}
device OU : Outdoor
device IU-1 : Indoor
device IU-2 : Indoor
bus line : Line { land OU.line  land IU-1.line 9 m  land IU-2.line 9 m  ring 9 m }
`).site;
    for (const element of elementsOf(ring).filter(({ kind }) => kind === 'cable')) {
      expect(impactOf(ring, element)).toEqual(nothing);
    }
  });
});
