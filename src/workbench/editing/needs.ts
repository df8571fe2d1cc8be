/** What a device needs, shown while it is written: its equipment as a form to fill in. */
import { supplyCandidates } from '../../analysis/power/candidates.js';
import { connectionsOf } from '../../analysis/power/consumers.js';
import { rangeText } from '../../analysis/graph/addresses.js';
import type { Equipment, Inlet } from '../../model/equipment.js';
import type { Device } from '../../model/records.js';
import { memberKey, type Site } from '../../model/site.js';
import { formatNumber } from '../../model/quantity.js';
import type { OpenSite } from '../open-site.js';
import { addressedPorts } from './completion/fresh.js';
import { voltageText } from './completion/name-offers.js';
import { cursorAt } from './cursor.js';

export interface Needs {
  /** The equipment with everything that a device of it has to say. */
  readonly label: string;
  readonly title: string | undefined;
  readonly parts: readonly Need[];
  /** Position of the part that the cursor is about; undefined where it is about none of them. */
  readonly active: number | undefined;
}

export interface Need {
  /** Offsets in the label. */
  readonly start: number;
  readonly end: number;
  /** How far it is met, and what would meet it. One sentence. */
  readonly text: string;
}

/** The needs of the device that is written at an offset; undefined elsewhere. */
export function needsAt(open: OpenSite, path: string, offset: number): Needs | undefined {
  const cursor = cursorAt(open, path, offset);
  const record = cursor?.declaration?.record;
  const equipment =
    record?.kind === 'device' ? open.site.equipment.get(record.equipment) : undefined;
  const colon = cursor?.declaration?.origins.get('equipment')?.end;
  if (cursor === undefined || record?.kind !== 'device' || equipment === undefined) {
    return undefined;
  }
  const inPiece = offset - cursor.piece.start;
  if (colon === undefined || inPiece <= colon) {
    return undefined;
  }
  const needs = [
    ...addressNeeds(open.site, record, equipment),
    ...equipment.inlets.map((inlet) => inletNeed(open.site, record, inlet)),
    ...equipment.ports.map((port) => ({
      key: `port ${port.name}`,
      text: `${port.name} : ${port.busType}`,
      said: landedText(open.site, record, port.name, port.busType),
    })),
  ];
  let label = `${equipment.name}:`;
  const parts = needs.map(({ text, said }, index): Need => {
    label += index === 0 ? ' ' : ', ';
    const start = label.length;
    label += text;
    return { start, end: label.length, text: said };
  });
  const statement = /(?:^|[\n{])[^\n{]*$/u.exec(cursor.piece.text.slice(0, inPiece))?.[0] ?? '';
  const [, word, name] =
    [...statement.matchAll(/(?:^|[\s{])(address|inlet)(?:[ \t]+([^\s{}]+))?/gu)].at(-1) ?? [];
  const active = needs.findIndex(({ key }) =>
    word === 'address' ? key === 'address' : key === `inlet ${name ?? ''}`,
  );
  return {
    label,
    title: equipment.title,
    parts,
    active: active < 0 ? undefined : active,
  };
}

interface NeedText {
  readonly key: string;
  readonly text: string;
  readonly said: string;
}

function addressNeeds(site: Site, device: Device, equipment: Equipment): NeedText[] {
  const ports = addressedPorts(site, equipment);
  if (ports.length === 0) {
    return [];
  }
  const ranges = [...new Set(ports.map(({ range }) => rangeText(range)))];
  const has = device.addresses.map(({ address }) => String(address));
  return [
    {
      key: 'address',
      text: `address ${ranges.join(' and ')}`,
      said: has.length > 0 ? `It has ${has.join(', ')}.` : 'It has none yet.',
    },
  ];
}

function inletNeed(site: Site, device: Device, inlet: Inlet): NeedText {
  const amounts = [
    voltageText(inlet.voltage),
    inlet.threePhase ? 'three-phase' : '',
    inlet.currentA === undefined ? '' : `${formatNumber(inlet.currentA)} A`,
    inlet.powerVA === undefined ? '' : `${formatNumber(inlet.powerVA)} VA`,
    inlet.powerW === undefined ? '' : `${formatNumber(inlet.powerW)} W`,
    inlet.optional ? 'optional' : '',
  ].filter((text) => text !== '');
  const sources = connectionsOf(site, device.name, inlet.name).map(({ connection }) =>
    connection.kind === 'line'
      ? memberKey(connection.line.from.owner, connection.line.from.member)
      : connection.feed.name,
  );
  const [candidate] = sources.length > 0 ? [] : supplyCandidates(site, device, inlet, 1);
  return {
    key: `inlet ${inlet.name}`,
    text: `inlet ${[inlet.name, ...amounts].join(' ')}`,
    said:
      sources.length > 0
        ? `Fed from ${sources.join(', ')}.`
        : candidate === undefined
          ? 'Nothing feeds it yet.'
          : `Nothing feeds it yet; ${candidate.point.key} fits and has ${formatNumber(candidate.spare, 1)} ${candidate.unit} left.`,
  };
}

function landedText(site: Site, device: Device, port: string, busType: string): string {
  const buses = (site.busLandings.get(memberKey(device.name, port)) ?? []).map(
    ({ run }) => run.name,
  );
  return buses.length > 0
    ? `Landed on ${buses.join(', ')}.`
    : `Landed on no bus yet; it belongs on a bus of type ${busType}.`;
}
