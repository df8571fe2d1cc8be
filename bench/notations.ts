/** One topology in three notations: our text, YAML with a JSON Schema, and a typed TypeScript object. */
import type { Bus } from '../src/model/wiring.js';
import { memoryFiles } from '../src/workbench/files.js';
import { Workbench } from '../src/workbench/workbench.js';
import type { LargeSite } from '../tests/support/large-site.js';

export interface Topology {
  readonly boards: Readonly<Record<string, { readonly ways: readonly string[] }>>;
  readonly devices: Readonly<Record<string, PlainDevice>>;
  readonly buses: Readonly<Record<string, PlainRun>>;
  readonly feeds: Readonly<Record<string, PlainRun>>;
}

interface PlainDevice {
  readonly title: string;
  readonly equipment: string;
  readonly room: string;
  readonly addresses: readonly number[];
  readonly inlets: readonly { readonly inlet: string; readonly from: string }[];
}

interface PlainRun {
  readonly type: string;
  readonly cable: string;
  readonly landings: readonly {
    readonly device: string;
    readonly member: string;
    readonly lengthM: number;
    readonly terminated: boolean;
  }[];
}

/** What a site's text says, without what only our text can say. */
export function topologyOf(large: LargeSite): Topology {
  const opened = new Workbench(memoryFiles({ ...large.files })).open(large.root);
  if ('failed' in opened) {
    throw new Error('The generated site cannot be read.');
  }
  const { site } = opened;
  return {
    boards: named(site.boards, ({ ways }) => ({ ways: ways.map(({ name }) => name) })),
    devices: named(site.devices, (device) => ({
      title: device.title ?? '',
      equipment: device.equipment,
      room: device.room ?? '',
      addresses: device.addresses.map(({ address }) => address),
      inlets: device.inletLines.map(({ inlet, from }) => ({
        inlet,
        from: `${from.owner}.${from.member}`,
      })),
    })),
    buses: named(site.buses, (bus) => run(bus, bus.busType)),
    feeds: named(site.feeds, (feed) => run(feed, 'feed')),
  };
}

function named<Record_, Plain>(
  records: { entries(): Iterable<[string, Record_]> },
  plain: (record: Record_) => Plain,
): Readonly<Record<string, Plain>> {
  return Object.fromEntries([...records.entries()].map(([name, record]) => [name, plain(record)]));
}

function run({ cable, landings }: Pick<Bus, 'cable' | 'landings'>, type: string): PlainRun {
  return {
    type,
    cable: cable ?? '',
    landings: landings.map(({ device, member, lengthM, terminated }) => ({
      device,
      member,
      lengthM: lengthM ?? 0,
      terminated,
    })),
  };
}

/** Block style, as people write it; all texts are in quotes. */
export function asYaml({ boards, devices, buses, feeds }: Topology): string {
  const lines: string[] = ['boards:'];
  for (const [name, { ways }] of Object.entries(boards)) {
    lines.push(`  ${name}:`, '    ways:', ...ways.map((way) => `      - ${way}`));
  }
  lines.push('devices:');
  for (const [name, device] of Object.entries(devices)) {
    lines.push(
      `  ${name}:`,
      `    title: ${JSON.stringify(device.title)}`,
      `    equipment: ${device.equipment}`,
      `    room: ${JSON.stringify(device.room)}`,
      `    addresses: [${device.addresses.join(', ')}]`,
      ...(device.inlets.length === 0 ? ['    inlets: []'] : ['    inlets:']),
      ...device.inlets.flatMap(({ inlet, from }) => [
        `      - inlet: ${inlet}`,
        `        from: ${from}`,
      ]),
    );
  }
  for (const [kind, runs] of Object.entries({ buses, feeds })) {
    lines.push(`${kind}:`);
    for (const [name, { type, cable, landings }] of Object.entries(runs)) {
      lines.push(`  ${name}:`, `    type: ${type}`, `    cable: ${cable}`, '    landings:');
      for (const { device, member, lengthM, terminated } of landings) {
        lines.push(
          `      - device: ${device}`,
          `        member: ${member}`,
          `        lengthM: ${lengthM}`,
          `        terminated: ${terminated}`,
        );
      }
    }
  }
  return `${lines.join('\n')}\n`;
}

/** Shapes only: a schema cannot say that a device which is named exists. */
export function yamlSchema(): object {
  const text = { type: 'string' };
  const list = (items: object) => ({ type: 'array', items });
  const record = (properties: Readonly<Record<string, object>>) => ({
    type: 'object',
    properties,
    required: Object.keys(properties),
    additionalProperties: false,
  });
  const map = (values: object) => ({ type: 'object', additionalProperties: values });
  const oneRun = record({
    type: text,
    cable: text,
    landings: list(
      record({
        device: text,
        member: text,
        lengthM: { type: 'number', minimum: 0 },
        terminated: { type: 'boolean' },
      }),
    ),
  });
  return {
    $schema: 'http://json-schema.org/draft-07/schema#',
    ...record({
      boards: map(record({ ways: list(text) })),
      devices: map(
        record({
          title: text,
          equipment: text,
          room: text,
          addresses: list({ type: 'integer', minimum: 0 }),
          inlets: list(record({ inlet: text, from: text })),
        }),
      ),
      buses: map(oneRun),
      feeds: map(oneRun),
    }),
  };
}

/** Names of devices are checked, since a landing may name only a key of `devices`. */
export function asTypeScript({ boards, devices, buses, feeds }: Topology): string {
  const one = (name: string, value: unknown) =>
    `  ${JSON.stringify(name)}: ${JSON.stringify(value)},`;
  const runs = (list: Topology['buses']) =>
    Object.entries(list).flatMap(([name, { landings, ...rest }]) => [
      `  ${JSON.stringify(name)}: ${JSON.stringify(rest).slice(0, -1)}, "landings": [`,
      ...landings.map((landing) => `    ${JSON.stringify(landing)},`),
      '  ] },',
    ]);
  return [
    'interface Board { ways: string[] }',
    'interface Device { title: string; equipment: string; room: string; addresses: number[]; inlets: { inlet: string; from: string }[] }',
    'interface Run<Name> { type: string; cable: string; landings: { device: Name; member: string; lengthM: number; terminated: boolean }[] }',
    'export const boards = {',
    ...Object.entries(boards).map(([name, board]) => one(name, board)),
    '} satisfies Record<string, Board>;',
    'export const devices = {',
    ...Object.entries(devices).map(([name, device]) => one(name, device)),
    '} satisfies Record<string, Device>;',
    'export const buses: Record<string, Run<keyof typeof devices>> = {',
    ...runs(buses),
    '};',
    'export const feeds: Record<string, Run<keyof typeof devices>> = {',
    ...runs(feeds),
    '};',
    '',
  ].join('\n');
}
