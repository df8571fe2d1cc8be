/** The material list: counted from what is new, and only from that. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cablesOfSite } from '../../src/analysis/cabling/cables.js';
import { ferruleFor } from '../../src/documents/material/ferrules.js';
import { materialList } from '../../src/documents/material/material-list.js';
import {
  cableLines,
  coversToOrder,
  equipmentLines,
  ferruleLines,
  mainsParts,
  terminatorsToOrder,
} from '../../src/documents/material/quantities.js';
import { renderMarkdown } from '../../src/documents/render/markdown.js';
import { poweredPlans, siteOfPlan } from '../support/powered-sites.js';
import { siteOf } from '../support/site.js';
import { libraryText } from './library.js';
import { plainFrame } from './frame.js';

describe('the material of the library', () => {
  const { site } = siteOf(libraryText);

  it('counts devices by equipment', () => {
    expect(equipmentLines(site).map((line) => [line.name, line.devices.length])).toEqual([
      ['CassetteUnit', 1],
      ['OutdoorUnit28', 1],
      ['RoomController', 1],
      ['SupplyBox', 1],
      ['ZoneController', 1],
    ]);
  });

  it('adds runs and cuts by type', () => {
    expect(
      cableLines(site).map((line) => [
        line.name,
        Number(line.runsM.toFixed(6)),
        line.plan?.reels.map((reel) => reel.cuts.map((cut) => `${cut.id} ${cut.cutM}`)),
      ]),
    ).toEqual([
      ['Plain-0v75', 6, [['room-1/RC-1-01 7']]],
      ['Screened-0v75', 34, [['field-1/FC-1-01 19', 'field-1/ZC-1 17']]],
      ['TwoCore-1v5', 14, [['F-1/ZC-1 15']]],
      [undefined, 18.8, undefined],
    ]);
  });

  it('orders terminators, covers and ferrules', () => {
    expect(terminatorsToOrder(site).map((one) => [one.device, one.ohm])).toEqual([
      ['OU-1', 120],
      ['ZC-1', 120],
    ]);
    expect(coversToOrder(site).map((one) => one.device)).toEqual(['ZC-1']);
    // Three runs of two cores of 0.75 mm2 with two ends each; one of 1.5 mm2.
    expect(ferruleLines(site).map((line) => [line.size.mm2, line.ends])).toEqual([
      [0.75, 12],
      [1.5, 4],
    ]);
  });

  it('orders no terminator that is built in, and counts what shares a reel', () => {
    const built = siteOf(
      libraryText.replace('unit-load 1  bias', 'terminator 120 ohm  unit-load 1  bias'),
    ).site;
    expect(terminatorsToOrder(built).map((one) => one.device)).toEqual(['ZC-1']);
  });

  it('warns of a run that is longer than a reel', () => {
    const long = siteOf(
      libraryText.replace('land FC-1-01.field 18 m', 'land FC-1-01.field 118 m'),
    ).site;
    const text = renderMarkdown(materialList(long), plainFrame);
    expect(text).toContain('field-1/FC-1-01 needs 124 m (assumed), which is longer than a reel');
  });

  it('names runs that nobody can measure from the model', () => {
    const unknown = siteOf(libraryText.replace(' at 16 m, 3 m', '')).site;
    expect(renderMarkdown(materialList(unknown), plainFrame)).toContain(
      'Measure before ordering: field-1/ZC-1.',
    );
  });
});

describe('the material of any site', () => {
  it('never lists what is existing, and everything that is new', () => {
    fc.assert(
      fc.property(poweredPlans, (plan) => {
        const site = siteOfPlan(plan);
        const listed = equipmentLines(site).flatMap((line) => line.devices);
        const fresh = [...site.devices.values()].filter((device) => !device.existing);
        expect(listed.map((one) => one.name).sort()).toEqual(fresh.map((one) => one.name).sort());
        const runs = cableLines(site).flatMap((line) => [...line.measured, ...line.unmeasured]);
        expect(runs.map((cable) => cable.id).sort()).toEqual(
          cablesOfSite(site)
            .filter((cable) => !cable.existing)
            .map((cable) => cable.id)
            .sort(),
        );
        for (const part of mainsParts(site)) {
          const record = part.kind === 'isolator' ? part.isolator : part.board;
          expect(record.existing).toBe(false);
          expect(part.kind === 'way' && part.way.existing).toBe(false);
        }
        expect(
          [...terminatorsToOrder(site), ...coversToOrder(site)].some((one) => one.existing),
        ).toBe(false);
      }),
      { numRuns: 1000 },
    );
  });
});

describe('ferruleFor', () => {
  it.each([
    [{ mm2: 0.75 }, 0.75, 'grey'],
    [{ mm2: 1.5 }, 1.5, 'black'],
    [{ mm2: 2.5 }, 2.5, 'blue'],
    [{ mm2: 0.8 }, 1, 'red'],
    // 0.82 mm2 and 1.31 mm2 by ASTM B258.
    [{ awg: 18 }, 1, 'red'],
    [{ awg: 16 }, 1.5, 'black'],
  ])('gives for %j the size %d mm2 in %s', (size, sizeMm2, colour) => {
    expect(ferruleFor(size)).toEqual({ sizeMm2, colour });
  });

  it('has none for what is larger than its table', () => {
    expect(ferruleFor({ mm2: 70 })).toBeUndefined();
  });
});
