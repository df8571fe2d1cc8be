import { describe, expect, it } from 'vitest';
import {
  drawTerminals,
  drawTopology,
  markText,
  placeOfMark,
  terminalsSceneOf,
  topologySceneOf,
} from '../../src/drawing/index.js';
import type { Finding } from '../../src/model/finding.js';
import { placeOf } from '../../src/model/origin.js';
import { siteOf } from '../support/site.js';

const equipment = `
bustype Link {
  conductors 2 polarised
  shape tree
  drops 16
  length total 500 m
  address 1 .. 64
  controllers 2
  terminate both-ends 120 ohm
}
cable Pair {
  cores 3 x 0.75 mm2 class 5
  colours BK, WH, YE
  screened twisted
  rated 300 V
}
cable Two "Two cores" {
  cores 2 x 1.5 mm2 class 5
  colours RD, BK
  rated 300 V
}
equipment Unit "Ceiling unit" {
  role indoor-unit
  inlet mains 230 VAC 0.3 A terminals L, N, PE
  port field : Link terminals CA, CB as responder
}
equipment Panel "Panel" {
  role zone-controller
  inlet supply 24 VAC 12 VA exposed terminals V0, V1
  port field : Link terminals CA, CB as controller
  supervises indoor-unit via field up to 32
}
equipment Box "24 V supply" {
  role supply
  inlet primary 230 VAC 0.5 A terminals L, N, PE
  outlet out 24 VAC 60 VA class-2 terminals V0, V1
}
`;

const text = `//- site.ferrule
use "./equipment.ferrule"

site Mill "Mill <House>" {
  drawing "M-1"
  revision "C"
  owner "Owner"
}
area Ground level 0 m {
  room Hall "Entrance hall" at 0 m, 0 m
  room Store at 10 m, 0 m
}
board DB in Store {
  way W1 230 VAC 10 A curve B "Units"
}
isolator Q1 on DB.W1 in Hall lockable
device U1 : Unit in Hall { address 1  inlet mains from DB.W1 }
device U2 : Unit in Hall existing { address 2  inlet mains from DB.W1 }
device U3 : Unit in Store { address 3  inlet mains from DB.W1 }
device P1 : Panel in Store { address 60 }
device S1 : Box in Store { inlet primary from DB.W1 }
bus field : Link using Pair {
  land P1.field terminated bonded
  land U1.field 12 m { spur 2 m { land U2.field } }
  land U3.field cores WH, BK
}
feed F1 from S1.out using Two {
  land P1.supply 4 m
}
//- equipment.ferrule
${equipment}`;

describe('the topology scene of a site', () => {
  const { site, findings } = siteOf(text);
  const scene = topologySceneOf(
    site,
    findings.map(({ finding }) => finding),
  );
  const field = scene.runs.find((run) => run.mark.name === 'field');

  it('keeps the order of landings, the lengths and where they come from', () => {
    expect(field?.landings.map((landing) => landing.owner.id)).toEqual(['P1', 'U1', 'U2', 'U3']);
    expect(
      field?.segments.map(({ from, to, kind, length }) => ({ from, to, kind, length })),
    ).toEqual([
      { from: '0', to: '1', kind: 'main', length: { metres: 12, estimated: false } },
      { from: '1', to: '2', kind: 'spur', length: { metres: 2, estimated: false } },
      // 10 m between the rooms and 2 m at each end.
      { from: '1', to: '3', kind: 'main', length: { metres: 14, estimated: true } },
    ]);
  });

  it('shows terminators where they are and where one is missing', () => {
    expect(field?.landings.map((landing) => landing.terminator)).toEqual([
      'fitted',
      'none',
      'none',
      'missing',
    ]);
    expect(field?.landings.map((landing) => landing.bonded)).toEqual([true, false, false, false]);
  });

  it('shows devices with room, address, expected count and what is there already', () => {
    const device = (id: string) => scene.devices.find((one) => one.id === id);
    expect(device('P1')).toMatchObject({
      title: 'Panel',
      role: 'zone-controller',
      areaId: 'Ground',
      roomId: 'Ground.Store',
      addresses: ['60'],
      finds: 3,
      existing: false,
    });
    expect(device('U2')).toMatchObject({ existing: true });
    expect(device('U2')?.finds).toBeUndefined();
  });

  it('joins the inlets on a way, and a feed from its outlet', () => {
    expect(scene.branches).toHaveLength(1);
    expect(scene.branches[0]?.taps.map((tap) => tap.owner.id)).toEqual(['S1', 'U1', 'U2', 'U3']);
    expect(scene.boards[0]?.ways[0]?.text).toBe('230 V · 10 A B · isolator Q1');
    const feed = scene.runs.find((run) => run.kind === 'feed');
    expect(feed?.landings.map(({ owner, member }) => [owner.id, member])).toEqual([
      ['S1', 'out'],
      ['P1', 'supply'],
    ]);
  });

  it('puts each finding where it belongs', () => {
    const anchors = new Map(scene.findings.map((finding) => [finding.rule, finding.at]));
    expect(anchors.get('terminator-missing')).toEqual({
      kind: 'landing',
      runId: 'bus field',
      id: '3',
    });
    expect(anchors.get('length-estimated')).toEqual({
      kind: 'segment',
      runId: 'bus field',
      id: '1-3',
    });
    expect(anchors.get('live-terminals-uncovered')).toEqual({
      kind: 'landing',
      runId: 'feed F1',
      id: '0',
    });
  });

  it('leaves accepted findings out', () => {
    const accepted = findings.map(({ finding }): Finding => ({
      ...finding,
      waived: { because: 'agreed', until: null, upTo: null },
    }));
    expect(topologySceneOf(site, accepted).findings).toEqual([]);
  });
});

describe('the terminals scene of a run', () => {
  const { site, findings } = siteOf(text);
  const all = findings.map(({ finding }) => finding);

  it('has the strips in the order of the run, with screen and terminators', () => {
    const scene = terminalsSceneOf(site, 'field', all);
    expect(scene?.strips.map((strip) => strip.id)).toEqual([
      'P1.field',
      'U1.field',
      'U2.field',
      'U3.field',
    ]);
    expect(scene?.strips.map((strip) => [strip.terminator, strip.terminatorText])).toEqual([
      ['fitted', '120 Ω'],
      ['none', ''],
      ['none', ''],
      ['missing', '120 Ω'],
    ]);
    expect(scene?.strips[0]?.terminals.map((terminal) => [terminal.name, terminal.screen])).toEqual(
      [
        ['CA', 'none'],
        ['CB', 'none'],
        ['', 'bonded'],
      ],
    );
  });

  it('follows each core to its terminals, changed places and spare ones included', () => {
    const scene = terminalsSceneOf(site, 'field', all);
    const cable = scene?.cables.find((one) => one.to === 'U3.field');
    expect(
      cable?.cores.map((core) => [core.kind, core.colour, core.fromTerminal, core.toTerminal]),
    ).toEqual([
      ['signal', 'BK', 'terminal CA', 'terminal CB'],
      ['signal', 'WH', 'terminal CB', 'terminal CA'],
      ['spare', 'YE', undefined, undefined],
      ['screen', '', 'screen', 'screen'],
    ]);
    expect(cable?.construction).toBe('3 × 0.75 mm² + screen');
    expect(scene?.cables.find((one) => one.to === 'U2.field')?.kind).toBe('spur');
  });

  it('asks for the cover of exposed terminals', () => {
    const strips = terminalsSceneOf(site, 'F1', all)?.strips;
    expect(strips?.map((strip) => [strip.id, strip.cover])).toEqual([
      ['S1.out', 'none'],
      ['P1.supply', 'missing'],
    ]);
    const covered = siteOf(text.replace('land P1.supply 4 m', 'land P1.supply 4 m covered'));
    expect(terminalsSceneOf(covered.site, 'F1', [])?.strips[1]?.cover).toBe('fitted');
  });

  it('is not there for a name that is no bus or feed', () => {
    expect(terminalsSceneOf(site, 'nothing', all)).toBeUndefined();
    expect(drawTerminals(site, 'U1', all)).toBeUndefined();
  });
});

describe('a drawing of a site', () => {
  const { site, findings } = siteOf(text);
  const all = findings.map(({ finding }) => finding);
  const drawing = drawTopology(site, all);

  it('marks what can be clicked with a place that leads back to the text', () => {
    expect(placeOfMark(markText(placeOf('field', 'land/3')))).toEqual(placeOf('field', 'land/3'));
    const places = [...drawing.svg.matchAll(/data-place="([^"]*)"/gu)].map(([, place]) => place);
    for (const place of ['U1#name', 'field#name', 'field#land/1/length', 'Ground#name']) {
      expect(places).toContain(place);
    }
    expect(drawing.subjects.map((subject) => subject.place)).toContain('P1#name');
    for (const subject of drawing.subjects) expect(places).toContain(subject.place);
  });

  it('names subjects for readers who cannot see them', () => {
    const panel = drawing.subjects.find((subject) => subject.place === 'P1#name');
    expect(panel).toMatchObject({ chain: 'field', area: 'Ground' });
    expect(panel?.label).toContain('zone controller');
    expect(panel?.label).toContain('bus field position 1 of 4');
    expect(panel?.label).toContain('finds 3');
  });

  it('numbers findings as in its list', () => {
    expect(drawing.findings.map((finding) => finding.number)).toEqual(
      drawing.findings.map((_, index) => index + 1),
    );
    for (const { index, severity, place } of drawing.findings) {
      expect(all[index]?.severity).toBe(severity);
      expect(place).toBe(all[index] && markText(all[index].at));
    }
  });

  it('does not change when declarations change places', () => {
    const swapped = text
      .replace('device U1 : Unit in Hall { address 1  inlet mains from DB.W1 }\n', '')
      .replace(
        'area Ground',
        'device U1 : Unit in Hall { address 1  inlet mains from DB.W1 }\n\narea Ground',
      );
    expect(swapped).not.toBe(text);
    const other = siteOf(swapped);
    const again = drawTopology(
      other.site,
      other.findings.map(({ finding }) => finding),
    );
    expect(again.svg).toBe(drawing.svg);
  });

  it('shows what is there of a site that names what does not exist', () => {
    const half = siteOf(
      text.replace('land U1.field 12 m', 'land U9.field 12 m').replace(': Panel', ': Panle'),
    );
    const scene = topologySceneOf(half.site, []);
    expect(scene.devices.find((device) => device.id === 'P1')).toMatchObject({
      role: 'other',
      title: 'Panle',
    });
    expect(drawTopology(half.site, []).svg).toContain('U3');
    expect(drawTerminals(half.site, 'field', [])?.svg).toContain('U3');
  });
});
