/** Whole statements that the site asks for: devices, buses, landings, inlet lines, hosts. */
import { cablesFor } from '../../../analysis/bus/cable-fit.js';
import { freePortsFor } from '../../../analysis/bus/vacancy.js';
import { nextFreeHost } from '../../../analysis/network/plan.js';
import type { LoweredDeclaration } from '../../../language/lower.js';
import type { TextChange } from '../../../language/write.js';
import type { Equipment } from '../../../model/equipment.js';
import type { Declaration, Device } from '../../../model/records.js';
import {
  compareNames,
  equipmentOf,
  memberKey,
  roomOf,
  type ResolvedPort,
  type Site,
} from '../../../model/site.js';
import type { Bus } from '../../../model/wiring.js';
import { freeName, freshDevice, nextName, suppliesFor, unlandedAddresses } from './fresh.js';
import type { InsertPart, Offer } from './offer.js';

/** More statements of one kind than this only make the list long. */
const most = 8;

/** Declarations for the start of a line. */
export function declarationOffers(site: Site): Offer[] {
  return [...deviceOffers(site), ...busOffers(site)];
}

/** What a device of a piece of equipment is written with, from its name on. */
export function deviceParts(site: Site, equipment: Equipment, name: string): InsertPart[] {
  const room = usualRoom(site, equipment.name);
  const device = freshDevice(name, equipment.name, room);
  const [address] = unlandedAddresses(site, equipment);
  const members: InsertPart[][] = [
    ...(address === undefined ? [] : [['address ', { stop: [String(address)] } as const]]),
    ...[...suppliesFor(site, device)].map(([inlet, [point, ...others]]): InsertPart[] => [
      `inlet ${inlet} from `,
      { stop: [point!, ...others] },
    ]),
  ];
  const block = members.flatMap((member, index) => [index === 0 ? ' { ' : '  ', ...member]);
  return [
    equipment.name,
    ...(room === undefined ? [] : [' in ', { stop: [room] } as const]),
    ...block,
    ...(members.length === 0 ? [] : [' }']),
  ];
}

function deviceOffers(site: Site): Offer[] {
  const count = (equipment: Equipment) => site.devicesOf.get(equipment.name)?.length ?? 0;
  return [...site.equipment.values()]
    .filter((equipment) => equipment.deprecated === undefined && equipment.extends === undefined)
    .sort((one, other) => count(other) - count(one) || compareNames(one.name, other.name))
    .slice(0, most)
    .map((equipment): Offer => {
      const name = nextName(site, equipment.name);
      return {
        text: `device ${name} : ${equipment.name}`,
        kind: 'statement',
        detail: equipment.title ?? equipment.role,
        rank: 3,
        about: equipment.name,
        inserts: ['device ', { stop: [name] }, ' : ', ...deviceParts(site, equipment, name)],
      };
    });
}

/** The room in which the last device of the equipment stands, else the last device, else the first room. */
function usualRoom(site: Site, equipment: string): string | undefined {
  const own = (site.devicesOf.get(equipment) ?? []).findLast((device) => device.room !== undefined);
  const any = [...site.devices.values()].findLast((device) => device.room !== undefined);
  const placed = roomOf(site, own ?? any ?? {}) ?? [...site.rooms.values()][0];
  return placed && (site.rooms.has(placed.room.name) ? placed.room.name : placed.key);
}

/** A bus for each bus type of which ports are landed nowhere. */
function busOffers(site: Site): Offer[] {
  return [...site.busTypes.values()]
    .flatMap((busType): Offer[] => {
      const draft: Bus = {
        kind: 'bus',
        name: freeName(site, busType.name.toLowerCase()),
        busType: busType.name,
        existing: false,
        landings: [],
      };
      const free = freePortsFor(site, draft);
      const controller = free.find(({ port }) => port.talksAs === 'controller');
      const source = free.find(({ port }) => port.gives !== undefined);
      const needsSource = busType.power !== undefined;
      const first = needsSource ? source : controller;
      const second = free.find(
        (one) =>
          one.device !== first?.device &&
          one.port.talksAs !== undefined &&
          (needsSource ? one.port.gives === undefined : one.port.talksAs !== 'controller'),
      );
      const isTalkedTo = [first, second].some((one) => one?.port.talksAs === 'controller');
      const [cable, ...others] = cablesFor(site, busType).map((one) => one.name);
      if (first === undefined || second === undefined || cable === undefined || !isTalkedTo) {
        return [];
      }
      const ends = busType.terminate?.where === 'both-ends';
      const land = (one: ResolvedPort, bonded: boolean) =>
        [
          `  land ${one.device.name}.${one.port.name}`,
          ...(ends && one.port.terminatorOhm === undefined ? ['terminated'] : []),
          ...(bonded ? ['bonded'] : []),
        ].join(' ');
      const isScreened = site.cables.get(cable)?.screened === true;
      return [
        {
          text: `bus ${draft.name} : ${busType.name}`,
          kind: 'statement',
          detail: `with ${first.device.name} and ${second.device.name}`,
          rank: 3,
          about: busType.name,
          inserts: [
            'bus ',
            { stop: [draft.name] },
            ` : ${busType.name} using `,
            { stop: [cable, ...others] },
            ` {\n${land(first, isScreened)}\n${land(second, false)}\n}`,
          ],
        },
      ];
    })
    .slice(0, most);
}

/** Members for the block at the cursor. `offset` counts in the piece, `pieceStart` in the file. */
export function memberStatements(
  site: Site,
  declaration: LoweredDeclaration | undefined,
  at: { readonly file: string; readonly offset: number; readonly pieceStart: number },
): Offer[] {
  const record = declaration?.record;
  switch (record?.kind) {
    case 'device':
      return deviceMembers(site, record);
    case 'bus':
      return landings(site, site.buses.get(record.name) ?? record, declaration!, at);
    case 'network': {
      const address = nextFreeHost(site, site.networks.get(record.name) ?? record);
      return address === undefined ? [] : hosts(site, address);
    }
    default:
      return [];
  }
}

function deviceMembers(site: Site, record: Device): Offer[] {
  const equipment = equipmentOf(site, record);
  if (equipment === undefined) {
    return [];
  }
  const [address] = unlandedAddresses(site, equipment, record.name);
  const isAddressed = record.addresses.length > 0 || address === undefined;
  const supplies = [...suppliesFor(site, record)].filter(([inlet]) => {
    const key = memberKey(record.name, inlet);
    return (
      !site.feedLandings.has(key) &&
      !site.inletLines.has(key) &&
      !record.inletLines.some((line) => line.inlet === inlet)
    );
  });
  return [
    ...(isAddressed
      ? []
      : [statement(`address ${address}`, 'next free address', ['address ', String(address)])]),
    ...supplies.map(([inlet, [point, ...others]]) =>
      statement(`inlet ${inlet} from ${point!}`, 'nearest with room', [
        `inlet ${inlet} from `,
        { stop: [point!, ...others] },
      ]),
    ),
  ];
}

/** Landings of ports that wait for one. At the end of a chain the terminator moves on with it. */
function landings(
  site: Site,
  bus: Bus,
  declaration: LoweredDeclaration,
  at: { readonly file: string; readonly offset: number; readonly pieceStart: number },
): Offer[] {
  const main = bus.landings.filter((landing) => landing.spur === undefined);
  const last = main.at(-1);
  const lastSpan = last && declaration.origins.get(`land/${last.index}`);
  const isAtEnd = lastSpan === undefined || at.offset >= lastSpan.end;
  const terminated = last && declaration.origins.get(`land/${last.index}/terminated`);
  const moves = isAtEnd && main.length > 1 && terminated !== undefined && bus.ring === undefined;
  const moved: TextChange[] = moves
    ? [
        {
          file: at.file,
          start: at.pieceStart + terminated.start - 1,
          end: at.pieceStart + terminated.end,
          text: '',
        },
      ]
    : [];
  return freePortsFor(site, bus)
    .slice(0, most)
    .map(({ device, port }): Offer => {
      const text = `land ${device.name}.${port.name}`;
      const goesOn = moves && port.terminatorOhm === undefined;
      return {
        ...statement(text, port.busType, [goesOn ? `${text} terminated` : text]),
        about: memberKey(device.name, port.name),
        ...(device.room === undefined ? {} : { where: device.room }),
        ...(goesOn ? { also: moved } : {}),
      };
    });
}

function hosts(site: Site, address: string): Offer[] {
  return [...site.devices.values()]
    .flatMap((device) =>
      (equipmentOf(site, device)?.lans ?? [])
        .filter((lan) => !site.hosts.has(memberKey(device.name, lan.name)))
        .map((lan) => {
          const text = `host ${device.name}.${lan.name} ${address}`;
          return statement(text, device.equipment, [text]);
        }),
    )
    .slice(0, most);
}

function statement(
  text: string,
  detail: string,
  inserts: readonly InsertPart[],
): Offer & { readonly inserts: readonly InsertPart[] } {
  return { text, kind: 'statement', detail, rank: 1, inserts };
}

/** Whether a declaration is one in whose block statements are offered. */
export function hasStatements(record: Declaration | undefined): boolean {
  return record?.kind === 'device' || record?.kind === 'bus' || record?.kind === 'network';
}
