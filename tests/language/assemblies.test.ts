/** An assembly stands for what is in it: a site with instances has the model of one that is written out. */
import { describe, expect, it } from 'vitest';
import { memoryFiles } from '../../src/workbench/files.js';
import { Workbench } from '../../src/workbench/workbench.js';
import { hotel, writtenOut } from '../support/hotel.js';
import { testDay } from '../support/site.js';

describe('a hotel of 200 guest rooms', () => {
  const assembled = opened(hotel(200));
  const written = opened(writtenOut(200));

  it('has the model of the hotel that is written out', () => {
    expect(models(assembled)).toEqual(models(written));
    expect(assembled.open.site.devices.size).toBe(402);
  });

  it('has the same findings', () => {
    const tooLong = (text: string) =>
      opened(text.replace('length total 200 m', 'length total 8 m'));
    const said = ({ findings }: typeof assembled) =>
      findings
        .map(({ finding }) => plain(`${finding.rule} ${finding.subject} ${finding.what}`))
        .sort();
    expect(said(assembled)).toEqual(said(written));
    const found = said(tooLong(hotel(200)));
    expect(found).toEqual(said(tooLong(writtenOut(200))));
    expect(found.filter((one) => one.startsWith('bus-too-long'))).toHaveLength(84);
  });
});

describe('an instance', () => {
  it('states what its assembly leaves open, several levels deep', () => {
    const { open } = opened(`${templates}
assembly Pair {
  device Left : GuestRoom { address 7 on field }
  device Right : GuestRoom
  expose Left.field as left
  expose Right.FC.field as right
}
device P-1 : Pair { address 11 on left  address 12 on right }
bus field-1 : Link using Wire { land P-1.left  land P-1.right 4 m }
`);
    expect(open.site.devices.get('P-1.Left.FC')?.addresses).toEqual([
      { index: 0, address: 11, port: 'field' },
    ]);
    expect(open.site.devices.get('P-1.Right.FC')?.addresses).toEqual([
      { index: 0, address: 12, port: 'field' },
    ]);
    expect(open.site.buses.get('field-1')?.landings.map(({ device }) => device)).toEqual([
      'P-1.Left.FC',
      'P-1.Right.FC',
    ]);
    expect(open.site.instances.get('P-1')?.parts).toContain('P-1.Left.link');
  });

  it('is where a finding within it stands, with the line of the template beside it', () => {
    const { findings } = opened(`${templates}
device GR-1 : GuestRoom { set run 300 m }
`);
    const long = findings.find(({ finding }) => finding.rule === 'bus-too-long')!;
    const lines = templates.split('\n');
    expect(long.finding.subject).toBe('GR-1.link');
    expect(long.at.range.start.line).toBe(lines.length);
    expect(long.related.map(({ range }) => lines[range.start.line])).toContain(
      '  bus link : Link using Wire { land FC.room  land RC.link run }',
    );
  });

  it('of what names nothing known, says so at the name', () => {
    const { findings } = opened(`${templates}
device GR-1 : GuestRoom { set rum 9 m  address 3 on fild }
bus field-1 : Link using Wire { land GR-1.FC.field  land GR-1.X.field 2 m }
`);
    const unknown = findings.filter(({ finding }) => finding.rule === 'name-unknown');
    expect(unknown.map(({ finding }) => finding.what)).toEqual([
      'GR-1 (GuestRoom) has no parameter "rum".',
      'GR-1 (GuestRoom) has no port "fild".',
      'GR-1 (GuestRoom) has no part "X".',
    ]);
  });
});

describe('a line of an instance that reaches no device', () => {
  it('is a finding, at an address without a port and at main', () => {
    const { findings, open } = opened(`${templates}
device GR-1 : GuestRoom main { address 7  address 8 on field }
`);
    const unknown = findings.filter(({ finding }) => finding.rule === 'name-unknown');
    expect(unknown.map(({ finding }) => finding.what)).toEqual([
      'GR-1 is an instance of GuestRoom, and no instance is a main controller.',
      'An address of GR-1 names no port, and GR-1 is an instance of GuestRoom.',
    ]);
    const [main, address] = unknown.map(({ at }) => at.range.start.character);
    const line = 'device GR-1 : GuestRoom main { address 7  address 8 on field }';
    expect([main, address]).toEqual([line.indexOf('main'), line.indexOf('address 7')]);
    expect(open.site.devices.get('GR-1.FC')?.addresses).toEqual([
      { index: 0, address: 8, port: 'field' },
    ]);
  });
});

describe('a billion devices', () => {
  it('are a finding and not an endless computation', () => {
    const levels = Array.from({ length: 9 }, (_, level) => {
      const inner = level === 0 ? 'Unit' : `Level${level}`;
      const parts = Array.from({ length: 10 }, (_part, index) => `  device P${index} : ${inner}`);
      return `assembly Level${level + 1} {\n${parts.join('\n')}\n}\n`;
    });
    const { findings, open } = opened(`${templates}\n${levels.join('\n')}\ndevice D-1 : Level9\n`);
    expect(findings.map(({ finding }) => finding.rule)).toContain('assembly-too-large');
    expect(open.site.devices.size).toBe(0);
  });
});

describe('a variant', () => {
  it('has what it states, and the rest of what it extends', () => {
    const { open } = opened(`${templates}
equipment Unit-5 "5 kW" {
  extends Unit
  inlet mains 230 VAC 900 VA
}
device A : Unit-5
`);
    const unit = open.site.equipment.get('Unit')!;
    const variant = open.site.equipment.get('Unit-5')!;
    expect(variant.ports).toEqual(unit.ports);
    expect(variant.role).toBe('indoor-unit');
    expect(variant.inlets).toEqual([{ ...withoutCurrent(unit.inlets[0]!), powerVA: 900 }]);
  });
});

const templates = `site Inn "Inn"
bustype Link { conductors 2  length total 200 m }
cable Wire { cores 2 x 0.75 mm2 class 5 }
equipment Unit {
  role indoor-unit
  inlet mains 230 VAC 0.4 A terminals L, N, PE
  port field : Link terminals CA, CB as responder
  port room : Link terminals KA, KB as responder
}
equipment Wall {
  role room-controller
  port link : Link terminals KA, KB as controller
  supervises indoor-unit via link
}
assembly GuestRoom "Unit with its wall controller" {
  parameter run 6 m
  device FC : Unit
  device RC : Wall
  bus link : Link using Wire { land FC.room  land RC.link run }
  expose FC.field as field
  expose FC.mains as mains
}`;

function withoutCurrent<Inlet extends { readonly currentA?: number }>({
  currentA: _stated,
  ...rest
}: Inlet) {
  return rest;
}

function opened(text: string) {
  return new Workbench(memoryFiles({ 'site.ferrule': text })).check('site.ferrule', testDay)!;
}

/** Names with `-` where an instance has a dot. */
function plain(text: string): string {
  return text.replaceAll(/\b(GR-\d+)\.(FC|RC|link)\b/gu, '$1-$2');
}

/** Every record but templates and instances, by name, as plain text of one naming. */
function models({ open }: ReturnType<typeof opened>): unknown {
  const records = open.site.entries
    .map(({ record }) => record)
    .filter(({ kind }) => !['assembly', 'instance'].includes(kind))
    .map((record) => JSON.parse(plain(JSON.stringify(record, sorted))) as { name: string });
  return new Map(
    records
      .sort((one, other) => (one.name < other.name ? -1 : 1))
      .map((record) => [record.name, record]),
  );
}

/** Keys in one order, so that records compare by value as text too. */
function sorted(_key: string, value: unknown): unknown {
  return typeof value === 'object' && value !== null && !Array.isArray(value)
    ? Object.fromEntries(Object.entries(value).sort(([one], [other]) => (one < other ? -1 : 1)))
    : value;
}
