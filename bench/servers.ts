/** Ferrule and other language servers, as processes over stdio, on the same topology. */
import { largeSite } from '../tests/support/large-site.js';
import { randomFrom } from '../tests/support/random.js';
import { SLIP, slipPlaces, type Notation } from './edits.js';
import { median, percentile, shown, table } from './figures.js';
import { asTypeScript, asYaml, topologyOf, yamlSchema } from './notations.js';
import { startFerrule } from './peers/ferrule.js';
import type { Peer, PeerFiles } from './peers/peer.js';
import { startTypeScript } from './peers/typescript.js';
import { startYaml } from './peers/yaml.js';

export interface ServerFigures {
  readonly server: string;
  readonly devices: number;
  readonly files: 'one file' | 'files of 50 devices';
  /** From the start of the process to the first diagnostics of the file. */
  readonly coldMs: number;
  /** From a one-character change to diagnostics that know it. */
  readonly editMedianMs: number;
  readonly editP95Ms: number;
  readonly edits: number;
  /** What the server waits on purpose before it starts to work. */
  readonly waitMs: number;
  readonly peakMiB: number;
  /** Answers to other requests after an edit, medians in milliseconds. */
  readonly requests: Readonly<Record<string, number>>;
  readonly checks: string;
}

interface Contestant {
  readonly name: string;
  readonly notation: Notation;
  readonly waitMs: number;
  readonly checks: string;
  readonly start: (files: PeerFiles) => Promise<Peer>;
  readonly edits: Readonly<Record<number, number>>;
}

const contestants: readonly Contestant[] = [
  {
    name: 'ferrule',
    notation: 'ferrule',
    waitMs: 2,
    checks: 'shapes, names, all rules, all computed values',
    start: startFerrule,
    edits: { 1000: 60, 10_000: 60 },
  },
  {
    name: 'yaml-language-server',
    notation: 'yaml',
    waitMs: 200,
    checks: 'shapes only',
    start: startYaml,
    edits: { 1000: 20, 10_000: 6 },
  },
  {
    name: 'tsserver',
    notation: 'typescript',
    waitMs: 0,
    checks: 'shapes and names of devices',
    start: startTypeScript,
    edits: { 1000: 20, 10_000: 4 },
  },
];

/** Servers take turns, so that a busy minute of the machine hits each of them. */
const ROUNDS = 2;
export async function measureServers(sizes: readonly number[]): Promise<ServerFigures[]> {
  const found: ServerFigures[] = [];
  for (const devices of sizes) {
    const rounds = new Map<string, ServerFigures[]>();
    for (let round = 0; round < ROUNDS; round += 1) {
      for (const contestant of contestants) {
        const figures = await measure(contestant, devices, 'one file', round);
        rounds.set(contestant.name, [...(rounds.get(contestant.name) ?? []), figures]);
        console.log(
          `${contestant.name}, ${devices} devices, round ${round + 1}: cold ${shown(figures.coldMs)} ms, edit ${shown(figures.editMedianMs)} ms`,
        );
      }
    }
    found.push(...[...rounds.values()].map(middleOf));
  }
  found.push(await measure(contestants[0]!, sizes.at(-1)!, 'files of 50 devices', 0));
  return found;
}

async function measure(
  { name, notation, start, edits, waitMs, checks }: Contestant,
  devices: number,
  files: ServerFigures['files'],
  round: number,
): Promise<ServerFigures> {
  const written = filesFor(notation, devices, files);
  const text = written.files[written.edited]!;
  const before = performance.now();
  const peer = await start(written);
  const coldMs = performance.now() - before;
  try {
    const places = slipPlaces(text, notation);
    const random = randomFrom(round + 1);
    const times: number[] = [];
    const count = edits[devices]!;
    for (let edit = 0; edit < count; edit += 1) {
      const offset = random.pick(places);
      times.push(await peer.change(offset, 0, SLIP, 'errors'));
      times.push(await peer.change(offset, SLIP.length, '', 'no errors'));
    }
    return {
      server: name,
      devices,
      files,
      coldMs,
      editMedianMs: median(times),
      editP95Ms: percentile(times, 0.95),
      edits: times.length,
      waitMs,
      requests: (await peer.requests?.()) ?? {},
      peakMiB: peer.peakMiB(),
      checks,
    };
  } finally {
    await peer.stop();
  }
}

function filesFor(notation: Notation, devices: number, files: ServerFigures['files']): PeerFiles {
  // About forty devices stand in a group.
  const large = largeSite({ devices, ...(files === 'one file' ? {} : { groupsInFile: 1 }) });
  switch (notation) {
    case 'ferrule':
      return files === 'one file'
        ? { files: { ...large.files }, edited: large.root }
        : { files: { ...large.files }, edited: 'groups-7.ferrule' };
    case 'yaml':
      return {
        files: {
          'topology.yaml': asYaml(topologyOf(large)),
          'topology.schema.json': JSON.stringify(yamlSchema()),
        },
        edited: 'topology.yaml',
      };
    case 'typescript':
      return { files: { 'topology.ts': asTypeScript(topologyOf(large)) }, edited: 'topology.ts' };
  }
}

function middleOf(rounds: readonly ServerFigures[]): ServerFigures {
  const middle = (pick: (one: ServerFigures) => number) => median(rounds.map(pick));
  return {
    ...rounds[0]!,
    coldMs: middle((one) => one.coldMs),
    editMedianMs: middle((one) => one.editMedianMs),
    editP95Ms: middle((one) => one.editP95Ms),
    peakMiB: middle((one) => one.peakMiB),
    requests: Object.fromEntries(
      Object.keys(rounds[0]!.requests).map((name) => [
        name,
        middle((one) => one.requests[name] ?? Number.NaN),
      ]),
    ),
  };
}

export function serversTable(figures: readonly ServerFigures[]): string {
  const rows = figures.map((one) => {
    const own = figures.find(
      (other) =>
        other.server === 'ferrule' && other.devices === one.devices && other.files === one.files,
    );
    const times = (pick: (figure: ServerFigures) => number) =>
      own === undefined || own === one ? '' : `${shown(pick(one) / pick(own))} ×`;
    const worked = (figure: ServerFigures) => Math.max(figure.editMedianMs - figure.waitMs, 0.1);
    return [
      `${one.server}, ${one.devices} devices, ${one.files}`,
      shown(one.editMedianMs),
      shown(one.editP95Ms),
      times((figure) => figure.editMedianMs),
      shown(worked(one)),
      times(worked),
      shown(one.coldMs),
      times((figure) => figure.coldMs),
      shown(one.peakMiB),
      times((figure) => figure.peakMiB),
    ];
  });
  const head = ['milliseconds, MiB', 'edit', 'p95', '', 'less wait', '', 'cold', '', 'peak', ''];
  const notes = contestants.map(
    ({ name, waitMs, checks }) => `${name} waits ${waitMs} ms by design and checks ${checks}.`,
  );
  const requests = figures
    .filter((one) => Object.keys(one.requests).length > 0)
    .map(
      (one) =>
        `${one.server}, ${one.devices} devices, ${one.files}: ${Object.entries(one.requests)
          .map(([name, ms]) => `${name} ${shown(ms)} ms`)
          .join(', ')}`,
    );
  return [table(head, rows), '', ...notes, '', ...requests].join('\n');
}
