import { describe, expect, it } from 'vitest';
import { factsOfBus } from '../../src/analysis/bus/facts.js';
import { geometryOf } from '../../src/analysis/bus/geometry.js';
import { segmentOf, talkDomainOf } from '../../src/analysis/bus/segment.js';
import { terminationOf } from '../../src/analysis/bus/termination.js';
import { segmentsOf } from '../../src/analysis/run.js';
import { siteOf } from '../support/site.js';

const templates = `
bustype Link { conductors 2  shape free  drops 10  length total 100 m  controllers 2 }
cable Wire { cores 2 x 0.75 mm2 class 5 }
equipment Panel { role zone-controller  port p : Link terminals A, B as controller }
equipment Unit { role sensor  port p : Link terminals A, B as responder }
equipment Box {
  role junction
  port p : Link terminals A, B as neither
  port q : Link terminals C, D as neither
  passes p to q
}
equipment Amp {
  role repeater
  port p : Link terminals A, B as neither
  port q : Link terminals C, D as neither
  repeats p to q
}
device P : Panel
${Array.from({ length: 9 }, (_, index) => `device U-${index} : Unit`).join('\n')}
device J : Box
device R : Amp
`;

function bus(text: string, name = 'b', more = '') {
  const { site, findings } = siteOf(templates + more + text);
  const found = site.buses.get(name)!;
  const geometry = geometryOf(site, found);
  return {
    site,
    bus: found,
    findings,
    geometry,
    segment: segmentOf(site, found),
    facts: new Map(factsOfBus(site, found).map((fact) => [fact.fact, fact])),
    names: (nodes: readonly number[]) =>
      nodes.map((node) => geometry.graph.nodes[node]!.map((one) => one.name).join('+')),
  };
}

describe('the lengths of a bus', () => {
  it('are stated, estimated or unknown, and say so', () => {
    const rooms = `
area Low level 0 m { room One at 0 m, 0 m  room Two at 10 m, 4 m  room Bare }
area High level 3.5 m { room Three at 0 m, 4 m }
device A : Unit in One
device B : Unit in Two
device C : Unit in Two
device D : Unit in Three
device E : Unit in Bare
device F : Unit
`;
    const text = `bus b : Link using Wire { land A.p  land B.p  land C.p  land D.p  land E.p  land F.p 7 m }`;
    const { site, bus: found } = bus(text, 'b', rooms);
    expect(segmentsOf(site, found).map(({ lengthM, basis }) => [lengthM, basis])).toEqual([
      [10 + 4 + 4, 'estimated'],
      [4, 'estimated'],
      [10 + 0 + 3.5 + 4, 'estimated'],
      [null, 'unknown'],
      [7, 'stated'],
    ]);
  });

  it('are estimated with the factor and the ends that the site states', () => {
    const rooms = `
site S { estimate factor 1.5 ends 3 m }
area Low { room One at 0 m, 0 m  room Two at 10 m, 4 m }
device A : Unit in One
device B : Unit in Two
`;
    const { site, bus: found } = bus('bus b : Link { land A.p  land B.p }', 'b', rooms);
    expect(segmentsOf(site, found)[0]!.lengthM).toBe(1.5 * 14 + 6);
  });

  it('are unknown between areas without a level', () => {
    const rooms = `
area Low { room One at 0 m, 0 m }
area High level 3 m { room Two at 0 m, 0 m }
device A : Unit in One
device B : Unit in Two
`;
    const { facts } = bus('bus b : Link { land A.p  land B.p }', 'b', rooms);
    expect(facts.get('total-length')).toMatchObject({
      value: null,
      basis: 'unknown',
      needs: 'land B.p 10 m',
    });
  });

  it('have the working of each piece', () => {
    const { facts } = bus('bus b : Link { land P.p  land U-1.p 12 m  land U-2.p 8.5 m }');
    expect(facts.get('total-length')).toMatchObject({ value: 20.5, limit: 100, margin: 0.795 });
    expect(facts.get('total-length')!.terms).toEqual([
      { name: 'P.p to U-1.p', value: 12, unit: 'm', basis: 'stated' },
      { name: 'U-1.p to U-2.p', value: 8.5, unit: 'm', basis: 'stated' },
    ]);
  });

  it('carry no digits that only rounding brought', () => {
    const { facts } = bus('bus b : Link { land P.p  land U-1.p 0.1 m  land U-2.p 0.2 m }');
    expect(facts.get('total-length')!.value).toBe(0.3);
  });
});

describe('the shape of a bus', () => {
  const shapeOf = (text: string) => bus(text).geometry.shape;

  it('is what its cables form', () => {
    expect(shapeOf('bus b : Link { }')).toBe('single');
    expect(shapeOf('bus b : Link { land P.p }')).toBe('single');
    expect(shapeOf('bus b : Link { land P.p  land U-1.p 5 m  land U-2.p 5 m }')).toBe('chain');
    expect(shapeOf('bus b : Link { land P.p  land U-1.p 5 m  ring 5 m }')).toBe('ring');
    expect(
      shapeOf(
        'bus b : Link { land P.p  land U-1.p 5 m { spur 2 m { land U-3.p } }  land U-2.p 5 m }',
      ),
    ).toBe('chain');
    expect(
      shapeOf(
        'bus b : Link { land P.p  land U-1.p 5 m { spur 2 m { land U-3.p  land U-4.p 1 m } }  land U-2.p 5 m }',
      ),
    ).toBe('tree');
    expect(
      shapeOf(
        'bus b : Link { land P.p  land U-1.p 5 m { spur 2 m { land U-3.p  land U-4.p 1 m } }  land U-2.p 5 m  ring 3 m }',
      ),
    ).toBe('branched-ring');
    expect(
      shapeOf(
        'bus b : Link { land J.p { spur 2 m { land P.p }  spur 3 m { land U-1.p }  spur 4 m { land U-2.p  land U-3.p 1 m } } }',
      ),
    ).toBe('star');
    expect(
      shapeOf('bus b : Link { land J.p { spur 2 m { land P.p }  spur 3 m { land U-1.p } } }'),
    ).toBe('chain');
  });

  it('counts a spur with one landing as a stub, with more as a branch', () => {
    const { geometry, facts } = bus(`bus b : Link {
      land P.p
      land U-1.p 5 m { spur 2 m { land U-2.p }  spur 3 m { land U-3.p  land U-4.p 1 m } }
      land U-5.p 5 m
    }`);
    expect(geometry.stubs.map(({ landing }) => landing.name)).toEqual(['U-2.p']);
    expect(geometry.branches.map(({ landing }) => landing.name)).toEqual(['U-4.p']);
    expect(facts.get('longest-stub')!.value).toBe(2);
  });

  it('has no stub in a star, however short its arms', () => {
    const { geometry } = bus(
      'bus b : Link { land J.p { spur 2 m { land P.p }  spur 3 m { land U-1.p }  spur 4 m { land U-2.p } } }',
    );
    expect(geometry.stubs).toEqual([]);
    expect(geometry.arms).toBe(3);
  });

  it('has its ends at the ends of the line, not of the stubs', () => {
    const { geometry, names } = bus(`bus b : Link {
      land P.p { spur 1 m { land U-1.p } }
      land U-2.p 5 m
      land U-3.p 5 m { spur 1 m { land U-4.p } }
    }`);
    expect(names(geometry.ends)).toEqual(['P.p', 'U-3.p']);
  });
});

describe('a segment', () => {
  const two = `
bus a : Link { land P.p  land U-1.p 5 m  land J.p 10 m }
bus b : Link { land J.q  land U-2.p 20 m }
`;

  it('goes on behind a device that passes it on', () => {
    for (const name of ['a', 'b']) {
      const { facts, geometry, names, segment } = bus(two, name);
      expect(segment.lead.name).toBe('a');
      expect(facts.get('total-length')!.value).toBe(35);
      expect(facts.get('farthest-length')!.value).toBe(35);
      expect(facts.get('drops')!.value).toBe(3);
      expect(names(geometry.ends)).toEqual(['P.p', 'U-2.p']);
      expect(names([2])).toEqual(['J.p+J.q']);
    }
  });

  it('ends at a repeater, behind which the conversation goes on', () => {
    const text = two.replaceAll('J.', 'R.');
    const { facts, site, bus: found } = bus(text, 'b');
    expect(facts.get('total-length')!.value).toBe(20);
    const domain = talkDomainOf(site, found);
    expect(domain.lead.name).toBe('a');
    expect(domain.segments.map((one) => one.buses.map(({ name }) => name))).toEqual([['a'], ['b']]);
  });

  it('does not join buses of different types', () => {
    const other = 'bustype Other { conductors 2 }\n';
    const { segment } = bus(two.replace('bus b : Link', 'bus b : Other'), 'a', other);
    expect(segment.buses.map(({ name }) => name)).toEqual(['a']);
  });

  it('has no cable between two ports of a device that joins them itself', () => {
    const { facts, geometry } = bus(
      'bus b : Link { land P.p  land J.p 5 m  land J.q  land U-1.p 6 m }',
    );
    expect(facts.get('total-length')!.value).toBe(11);
    expect(geometry.shape).toBe('chain');
  });

  it('counts a port once, however often it is landed, and no port of another type', () => {
    const other = `
bustype Other { conductors 2 }
equipment Stranger { role sensor  port p : Other terminals A, B as responder }
device S : Stranger
`;
    const { facts } = bus(
      'bus b : Link { land P.p  land U-1.p 5 m  land U-1.p 5 m  land S.p 5 m }',
      'b',
      other,
    );
    expect(facts.get('drops')!.value).toBe(2);
  });

  it('stays computable with names that mean nothing', () => {
    const { facts } = bus('bus b : Nowhere using Nothing { land P.p  land Nobody.p 5 m }');
    expect(facts.get('total-length')!.value).toBe(5);
  });
});

describe('the terminators of a bus', () => {
  const typed = (where: string) => `
bustype Bus { conductors 2  shape chain  terminate ${where} 120 ohm }
equipment Head { role zone-controller  port p : Bus terminals A, B as controller }
equipment Node { role sensor  port p : Bus terminals A, B as responder }
equipment EndNode { role sensor  port p : Bus terminals A, B as responder { terminator 120 ohm } }
equipment Resistor { role terminator  port p : Bus terminals A, B as neither }
device H : Head
device N-1 : Node
device N-2 : Node
device N-3 : Node
device E : EndNode
device T : Resistor
`;
  const judged = (landings: string, where = 'both-ends') => {
    const { site, bus: found } = bus(`bus b : Bus { ${landings} }`, 'b', typed(where));
    const { missing, misplaced, duplicate } = terminationOf(site, found);
    return {
      missing: missing.map(({ name }) => name),
      misplaced: misplaced.map(
        ({ terminator, end }) => `${terminator.landing.name} to ${end.name}`,
      ),
      duplicate: duplicate.map(({ terminator }) => terminator.landing.name),
    };
  };
  const fine = { missing: [], misplaced: [], duplicate: [] };

  it.each([
    ['H.p terminated  land N-1.p 5 m  land N-2.p 5 m terminated', fine],
    ['H.p  land N-1.p 5 m  land N-2.p 5 m', { ...fine, missing: ['H.p', 'N-2.p'] }],
    ['H.p terminated  land N-1.p 5 m  land N-2.p 5 m', { ...fine, missing: ['N-2.p'] }],
    [
      'H.p terminated  land N-1.p 5 m terminated  land N-2.p 5 m',
      { ...fine, misplaced: ['N-1.p to N-2.p'] },
    ],
    [
      'H.p  land N-1.p 5 m terminated  land N-2.p 5 m  land N-3.p 5 m',
      { ...fine, misplaced: ['N-1.p to H.p'], missing: ['N-3.p'] },
    ],
    [
      'H.p  land N-1.p 5 m  land N-2.p 5 m terminated  land N-3.p 5 m',
      { ...fine, misplaced: ['N-2.p to N-3.p'], missing: ['H.p'] },
    ],
    [
      'H.p terminated  land N-1.p 5 m terminated  land N-2.p 5 m terminated',
      { ...fine, duplicate: ['N-1.p'] },
    ],
    [
      'H.p terminated  land N-1.p 5 m terminated  land N-2.p 5 m terminated  land N-3.p 5 m',
      { ...fine, misplaced: ['N-1.p to N-3.p'], duplicate: ['N-2.p'] },
    ],
    ['H.p terminated  land N-1.p 5 m  land E.p 5 m', fine],
    ['H.p terminated  land N-1.p 5 m  land E.p 5 m terminated', { ...fine, duplicate: ['E.p'] }],
    ['H.p terminated  land N-1.p 5 m  land T.p 1 m', fine],
    ['H.p terminated  land N-1.p 5 m terminated  land T.p 1 m', { ...fine, duplicate: ['N-1.p'] }],
    [
      'H.p terminated  land N-1.p 5 m { spur 1 m { land N-2.p terminated } }  land N-3.p 5 m',
      { ...fine, misplaced: ['N-2.p to N-3.p'] },
    ],
    ['H.p', fine],
    ['H.p  land N-1.p 5 m  ring 5 m', fine],
  ])('of land %s', (landings, expected) => {
    expect(judged(`land ${landings}`)).toEqual(expected);
  });

  it('stand at one end where one is asked for, the far one by choice', () => {
    expect(judged('land H.p terminated  land N-1.p 5 m', 'one-end')).toEqual(fine);
    expect(judged('land H.p  land N-1.p 5 m terminated', 'one-end')).toEqual(fine);
    expect(judged('land H.p  land N-1.p 5 m', 'one-end')).toEqual({ ...fine, missing: ['N-1.p'] });
    expect(judged('land H.p terminated  land N-1.p 5 m terminated', 'one-end')).toEqual({
      ...fine,
      duplicate: ['N-1.p'],
    });
  });
});
