/** Minimal sets of points that isolate a device: against every subset, the smallest against a minimum cut. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  MOST_POINTS,
  factOfIsolationSets,
  isolationSetsOf,
} from '../../src/analysis/graph/isolation-sets.js';
import { isolationOf } from '../../src/analysis/graph/isolation.js';
import type { Device } from '../../src/model/records.js';
import type { Site } from '../../src/model/site.js';
import { energySites, isLive, leastCut, pointsOf } from '../support/energy-sites.js';
import { siteOf } from '../support/site.js';

/** Every subset that isolates and of which no subset does, by trying all of them. */
function minimalByTrying(site: Site, device: Device, points: readonly string[]): readonly string[] {
  const isolates = new Array<boolean>(1 << points.length);
  const minimal: string[] = [];
  for (let subset = 0; subset < isolates.length; subset += 1) {
    const open = points.filter((_, index) => (subset >> index) & 1);
    isolates[subset] = !isLive(site, [device], new Set(open));
    const isMinimal =
      isolates[subset] &&
      points.every((_, index) => !((subset >> index) & 1) || !isolates[subset ^ (1 << index)]);
    if (isMinimal) {
      minimal.push(open.join(' + '));
    }
  }
  return minimal.sort();
}

describe('sets of points that isolate', () => {
  it('are the minimal ones of all subsets; the smallest is a minimum cut', () => {
    let several = 0;
    let cuts = 0;
    let largest = 0;
    fc.assert(
      fc.property(energySites, (site) => {
        const { all, twice } = pointsOf(site);
        if (all.length > 10) {
          return;
        }
        for (const device of site.devices.values()) {
          const found = isolationSetsOf(site, device);
          if (isolationOf(site, device).unstated.length > 0) {
            expect(found).toEqual({ known: false, because: 'a supply is not stated' });
            continue;
          }
          if (isLive(site, [device], new Set(all))) {
            expect(found).toEqual({ known: false, because: 'a source cannot be locked' });
            continue;
          }
          const searched = minimalByTrying(site, device, all);
          expect(
            found.known && found.sets.map((set) => [...set].sort().join(' + ')).sort(),
          ).toEqual(searched);
          several += searched.length > 1 ? 1 : 0;
          largest = Math.max(largest, all.length);
          if (found.known && twice.length === 0) {
            expect(found.sets[0]!.length).toBe(leastCut(site, [device]));
            cuts += found.sets[0]!.length > 1 ? 1 : 0;
          }
        }
      }),
      { numRuns: 1500 },
    );
    // The sites are worth the search.
    expect(several).toBeGreaterThan(200);
    expect(cuts).toBeGreaterThan(50);
    expect(largest).toBeGreaterThanOrEqual(7);
  });

  it('isolate with sixteen points, too', () => {
    // Eight inlets, each over a way and a lockable isolator: 2^8 sets of eight points.
    const inlets = Array.from({ length: 8 }, (_, index) => index);
    const { site } = siteOf(`
equipment Wide { role other  ${inlets.map((i) => `inlet i${i} 230 VAC 1 A`).join('  ')} }
board B { ${inlets.map((i) => `way W${i} 230 VAC 9 A`).join('  ')} }
${inlets.map((i) => `isolator Q${i} on B.W${i} lockable`).join('\n')}
device D : Wide { ${inlets.map((i) => `inlet i${i} from B.W${i}`).join('  ')} }
`);
    const device = site.devices.get('D')!;
    const found = isolationSetsOf(site, device);
    const points = pointsOf(site).all;
    expect(points.length).toBe(MOST_POINTS);
    expect(found.known && found.sets.map((set) => [...set].sort().join(' + ')).sort()).toEqual(
      minimalByTrying(site, device, points),
    );
    expect(found.known && found.sets.length).toBe(256);
    expect(leastCut(site, [device])).toBe(8);
  });

  it('are those of the worked example with two mains and a battery', () => {
    // Mains A over Q1, mains B over Q2 and a battery over F9, both behind S3 (networkx finds the same cut).
    const { site } = siteOf(`
equipment Supply { role supply  inlet primary 230 VAC 1 A  outlet out 24 VAC 60 VA decoupled }
equipment Battery { role supply  outlet out 24 VAC 60 VA stored decoupled }
equipment Panel { role other  inlet one 24 VAC 9 VA  inlet two 24 VAC 9 VA }
equipment Changeover { role other  inlet one 230 VAC 1 A optional  inlet two 24 VAC 1 A optional  outlet out 24 VAC 60 VA }
area R { room P }
board A { way Q1 230 VAC 6 A }
board B { way Q2 230 VAC 6 A }
device T1 : Supply { inlet primary from A.Q1 }
device BAT : Battery
device G2 : Changeover { inlet one from B.Q2  inlet two from BAT.out }
isolator F9 on BAT.out in P lockable
isolator S3 on G2.out in P lockable
device X1 : Panel { inlet one from T1.out  inlet two from G2.out }
`);
    expect(isolationSetsOf(site, site.devices.get('X1')!)).toEqual({
      known: true,
      sets: [
        ['A.Q1', 'S3'],
        ['A.Q1', 'B.Q2', 'F9'],
      ],
    });
    expect(factOfIsolationSets(site, 'X1')).toMatchObject({
      value: ['A.Q1 + S3', 'A.Q1 + B.Q2 + F9'],
      terms: [
        { name: 'the procedure opens', value: 'A.Q1 + S3' },
        { name: 'fewest points that would do', value: 2 },
      ],
    });
    expect(factOfIsolationSets(site, 'A')).toBeUndefined();
    expect(leastCut(site, [site.devices.get('X1')!])).toBe(2);
  });
});
