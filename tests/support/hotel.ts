/** An invented hotel, once with an assembly for its guest rooms and once written out. */

const templates = `site Lantern "Lantern House"
bustype Link { conductors 2  shape chain  drops 250  length total 4000 m  address 1 .. 250  controllers 2 }
bustype RoomLink { conductors 2  length total 200 m }
cable Wire { cores 2 x 0.75 mm2 class 5 }
equipment Unit {
  role indoor-unit
  inlet mains 230 VAC 0.4 A terminals L, N, PE
  port field : Link terminals CA, CB as responder
  port room : RoomLink terminals KA, KB as responder
}
equipment Wall {
  role room-controller
  port link : RoomLink terminals KA, KB as controller
  supervises indoor-unit via link
}
equipment Panel {
  role zone-controller
  inlet mains 230 VAC 0.1 A terminals L, N, PE
  port field : Link terminals CA, CB as controller { addressed none }
  supervises indoor-unit via field
}
`;

/** `rooms`: at most 250 on each of two links. */
export function hotel(rooms: number): string {
  return site(
    rooms,
    `
assembly GuestRoom {
  parameter run 6 m
  device FC : Unit
  device RC : Wall
  bus link : RoomLink using Wire { land FC.room  land RC.link run }
  expose FC.field as field
  expose FC.mains as mains
}
`,
    ({ name, room, address, runM, way }) =>
      `device ${name} : GuestRoom in ${room} { set run ${runM} m  address ${address} on field  inlet mains from ${way} }\n`,
    ({ name }) => `${name}.field`,
  );
}

export function writtenOut(rooms: number): string {
  return site(
    rooms,
    '',
    ({ name, room, address, runM, way }) => `device ${name}-FC : Unit in ${room} {
  address ${address} on field
  inlet mains from ${way}
}
device ${name}-RC : Wall in ${room}
bus ${name}-link : RoomLink using Wire { land ${name}-FC.room  land ${name}-RC.link ${runM} m }
`,
    ({ name }) => `${name}-FC.field`,
  );
}

interface GuestRoom {
  readonly name: string;
  readonly room: string;
  readonly address: number;
  readonly runM: number;
  readonly way: string;
}

function site(
  count: number,
  assembly: string,
  declared: (room: GuestRoom) => string,
  port: (room: GuestRoom) => string,
): string {
  const rooms = Array.from({ length: count }, (_, index): GuestRoom => ({
    name: `GR-${index + 1}`,
    room: `R${index + 1}`,
    address: index + 1,
    runM: 5 + (index % 7),
    way: `DB-1.W${Math.floor(index / 10) + 1}`,
  }));
  const half = Math.ceil(count / 2);
  const link = (name: string, panel: string, some: readonly GuestRoom[]) =>
    `bus ${name} : Link using Wire {\n  land ${panel}.field\n${some.map((room) => `  land ${port(room)} 5 m\n`).join('')}}\n`;
  return [
    templates,
    assembly,
    `area House level 0 m {\n  room Office at 0 m, 0 m\n${rooms.map(({ room }, index) => `  room ${room} at ${4 * (index % 20)} m, ${4 * Math.floor(index / 20)} m\n`).join('')}}\n`,
    `board DB-1 in Office {\n${Array.from({ length: Math.ceil(count / 10) }, (_, index) => `  way W${index + 1} 230 VAC 10 A curve B\n`).join('')}  way P 230 VAC 6 A curve B\n}\n`,
    'device ZC-1 : Panel in Office { inlet mains from DB-1.P }\ndevice ZC-2 : Panel in Office { inlet mains from DB-1.P }\n',
    rooms.map(declared).join(''),
    link('field-1', 'ZC-1', rooms.slice(0, half)),
    link('field-2', 'ZC-2', rooms.slice(half)),
  ].join('\n');
}

/** Assemblies in assemblies, a variant, and everything that can name what is in an instance. */
export const nested = `${templates}
equipment Unit-5 { extends Unit  inlet mains 230 VAC 900 VA }
equipment Unit-7 { extends Unit-5  inlet mains 230 VAC 1200 VA }

assembly GuestRoom {
  parameter run 6 m
  device FC : Unit-7
  device RC : Wall
  bus link : RoomLink using Wire { land FC.room  land RC.link run }
  expose FC.field as field
  expose FC.mains as mains
}

assembly Suite {
  device Left : GuestRoom { set run 9 m }
  device Right : GuestRoom
  bus inner : Link using Wire { land Left.field  land Right.field 3 m }
  expose Left.mains as left
  expose Right.FC.mains as right
}

area House level 0 m {
  room Office at 0 m, 0 m
  room R1 at 5 m, 0 m
}

board DB-1 in Office { way W1 230 VAC 10 A curve B  way W2 230 VAC 10 A curve B }

device ZC-1 : Panel in Office { inlet mains from DB-1.W1 }
device S-1 : Suite in R1 { inlet left from DB-1.W1  inlet right from DB-1.W2 }
device GR-1 : GuestRoom in R1 { set run 8 m  address 12 on field  inlet mains from DB-1.W2 }
device GR-2 : GuestRoom in R1 { address 12 on field }
device U-1 : Unit-5 in R1 { address 14  inlet mains from DB-1.W2 }

bus field-1 : Link using Wire {
  land ZC-1.field
  land GR-1.field 5 m
  land GR-2.FC.field 5 m
  land U-1.field 3 m
}

containment Tray-1 { carries field-1  carries GR-1.link  carries DB-1.W1 }
zone Z { unit GR-1.FC  unit U-1 }
accept length-estimated on GR-1.link because "measured later" until 2027-03-31
observed GR-1.RC finds 1 on 2026-11-20
`;
