// Writes the hotel example: about 400 devices on nine floors, a file a floor. The figures of the building
// stand here, the text in examples/hotel is what this script makes of them and then belongs to its readers.
import { spawnSync } from 'node:child_process';
import { mkdirSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { inProject } from './lib/root.mjs';

const folder = inProject('examples', 'hotel');
const guestFloors = [1, 2, 3, 4, 5, 6, 7, 8];
const roomsPerWing = 10;
const wings = [
  { letter: 'E', title: 'east', xM: 4, yM: 6 },
  { letter: 'W', title: 'west', xM: 60, yM: 6 },
];
const floorHeightM = 3.3;
const two = (number) => String(number).padStart(2, '0');

/** The outdoor unit, and so the address space, of a wing on a floor. */
const outdoorUnit = (floor, wing) => `OU-${floor}${wing.letter}`;
const roomName = (floor, wing, room) => `R${floor}${wing.letter}${two(room)}`;

mkdirSync(folder, { recursive: true });

write('hotel.ferrule', siteFile());
write('roof.ferrule', roofFile());
write('ground.ferrule', groundFile());
write('network.ferrule', networkFile());
for (const floor of guestFloors) {
  write(`floor-${floor}.ferrule`, floorFile(floor));
}

const formatted = spawnSync(
  process.execPath,
  [inProject('dist', 'cli', 'ferrule.js'), 'format', folder],
  {
    encoding: 'utf8',
  },
);
process.stdout.write(formatted.stdout + formatted.stderr);

function write(name, lines) {
  writeFileSync(path.join(folder, name), `${lines.flat(9).join('\n')}\n`);
}

function siteFile() {
  return [
    '// A hotel of eight guest floors with two wings each. Every guest room has a unit and a wall panel, every wing',
    '// of a floor its own outdoor unit. The two outdoor units of a floor, the panel in the linen room and a coupler',
    "// form the floor's central line; the couplers hang on the house line with the site manager. A file a floor.",
    '',
    ...['links', 'cables', 'units', 'controllers', 'supplies', 'network'].map(
      (name) => `use "../equipment/${name}.ferrule"`,
    ),
    ...['roof', 'ground', ...guestFloors.map((floor) => `floor-${floor}`), 'network'].map(
      (name) => `use "./${name}.ferrule"`,
    ),
    '',
    'site Belmont "Harbour View Hotel" {',
    '  drawing "HVH-C-001" revision "A"',
    '  owner "Harbour View Hotel Company"',
    '  creator "L. Okafor"',
    '  limit voltage-drop 5 %',
    '  conductor-temperature 40 C',
    '}',
  ];
}

function roofFile() {
  const units = guestFloors.flatMap((floor) =>
    wings.map((wing) => ({ floor, wing, name: outdoorUnit(floor, wing) })),
  );
  const half = (letter) => units.filter((unit) => unit.wing.letter === letter);
  return [
    '// The roof: an outdoor unit for each wing of each floor, and the boards that feed them.',
    '',
    `area Roof "Roof" level ${(guestFloors.length + 1) * floorHeightM + 1} m {`,
    ...wings.map(
      (wing) =>
        `  room Deck-${wing.letter} "Plant deck, ${wing.title} wing" at ${wing.xM + 14} m, 10 m`,
    ),
    '}',
    ...wings.flatMap((wing) => [
      '',
      `board DB-R${wing.letter} "Roof board, ${wing.title} wing" in Deck-${wing.letter} {`,
      ...half(wing.letter).map(
        (unit) =>
          `  way W${unit.floor} 400 VAC three-phase 20 A curve C "Outdoor unit of floor ${unit.floor}"`,
      ),
      '}',
      '',
      ...half(wing.letter).map(
        (unit) =>
          `isolator QS-${unit.floor}${wing.letter} on DB-R${wing.letter}.W${unit.floor} in Deck-${wing.letter} lockable`,
      ),
      '',
      ...half(wing.letter).map((unit) => [
        `device ${unit.name} "Floor ${unit.floor}, ${wing.title} wing" : HeatPump-28 in Deck-${wing.letter} {`,
        `  address ${wing.letter === 'E' ? 101 : 102}`,
        `  inlet mains from DB-R${wing.letter}.W${unit.floor} using Mains-5x4 ${8 + 2 * unit.floor} m`,
        '}',
      ]),
    ]),
  ];
}

function groundFile() {
  return [
    '// The ground floor: front desk, restaurant and meeting rooms on a unit line of their own, and the technical room.',
    '',
    'area Ground "Ground floor" level 0 m {',
    '  room Lobby "Lobby and front desk" at 30 m, 8 m',
    '  room Restaurant "Restaurant" at 44 m, 10 m',
    '  room Kitchen "Kitchen pass" at 52 m, 12 m',
    '  room Meeting-1 "Meeting room Tide" at 18 m, 10 m',
    '  room Meeting-2 "Meeting room Quay" at 10 m, 10 m',
    '  room Technical "Technical room" at 34 m, 16 m',
    '  room Yard "Delivery yard" at 56 m, 18 m',
    '}',
    '',
    'board DB-M "Mechanical services board" in Technical {',
    '  way W1 400 VAC three-phase 20 A curve C "Outdoor unit of the ground floor"',
    '  way W2 230 VAC 10 A curve B rcd 30 mA poles 2 "Indoor units, ground floor"',
    '  way W3 230 VAC 6 A curve B rcd 30 mA poles 2 "Controls"',
    '}',
    '',
    'isolator QS-G on DB-M.W1 in Yard lockable',
    '',
    'device OU-G "Ground floor" : HeatPump-28 in Yard {',
    '  address 101',
    '  inlet mains from DB-M.W1 using Mains-5x4 26 m',
    '}',
    '',
    ...[
      ['IU-G01', 'CeilingUnit-71', 'Lobby'],
      ['IU-G02', 'CeilingUnit-71', 'Lobby'],
      ['IU-G03', 'CeilingUnit-71', 'Restaurant'],
      ['IU-G04', 'CeilingUnit-71', 'Restaurant'],
      ['IU-G05', 'WallUnit-25', 'Kitchen'],
      ['IU-G06', 'CeilingUnit-36', 'Meeting-1'],
      ['IU-G07', 'CeilingUnit-36', 'Meeting-2'],
    ].map(
      ([name, equipment, room], index) =>
        `device ${name} : ${equipment} in ${room} { address ${index + 1}  inlet mains from DB-M.W2 }`,
    ),
    '',
    'device WP-G01 : WallPanel in Lobby',
    'device WP-G03 : WallPanel in Restaurant',
    'device WP-G05 : WallPanel in Kitchen',
    'device WP-G06 : WallPanel in Meeting-1',
    'device WP-G07 : WallPanel in Meeting-2',
    '',
    'device SM-1 "Site manager" : SiteManager in Technical { address 1 }',
    'device BC-G "Coupler of the ground floor" : BuildingCoupler in Technical { address 201 on central  address 10 on site }',
    'device SW-1 "Controls switch" : Switch-5 in Technical',
    'device PS-1 "Supply of manager, coupler and switch" : Supply-24DC-60 in Technical {',
    '  inlet primary from DB-M.W3 using Mains-3x1v5 3 m',
    '}',
    '',
    'bus line-G "Ground floor" : UnitLine using Bus-0v75 {',
    '  land OU-G.units terminated bonded',
    '  land IU-G05.units 18 m',
    '  land IU-G04.units 11 m',
    '  land IU-G03.units 6 m',
    '  land IU-G02.units 15 m',
    '  land IU-G01.units 6 m',
    '  land IU-G06.units 17 m',
    '  land IU-G07.units 11 m terminated',
    '}',
    '',
    'bus central-G "Central line, ground floor" : CentralLine using Bus-0v75 {',
    '  land OU-G.central terminated',
    '  land FP-G.central 34 m',
    '  land BC-G.central 16 m terminated bonded',
    '}',
    '',
    '/// Joins the couplers of all floors with the site manager.',
    'bus house "House line" : SiteLine using Bus-0v75 {',
    '  land SM-1.site terminated bonded',
    '  land BC-G.site 2 m',
    ...guestFloors.map(
      (floor, index) =>
        `  land BC-${floor}.site ${index === 0 ? 34 : 6} m${floor === guestFloors.length ? ' terminated' : ''}`,
    ),
    '}',
    '',
    'device FP-G "Panel at the front desk" : FloorPanel in Lobby { address 200 }',
    'device PS-G "Supply of the front desk panel" : Supply-24AC-63 in Technical {',
    '  inlet primary from DB-M.W3 using Mains-3x1v5 3 m',
    '}',
    'feed F-G "Front desk panel" from PS-G.out using Supply-1v5 { land FP-G.supply 22 m covered }',
    'feed F-1 "Manager, coupler and switch" from PS-1.out using Supply-1v5 {',
    '  land SM-1.supply 3 m',
    '  land BC-G.supply 1 m',
    '  land SW-1.supply 1 m',
    '}',
    '',
    ...[
      ['G01', ['IU-G01', 'IU-G02']],
      ['G03', ['IU-G03', 'IU-G04']],
      ['G05', ['IU-G05']],
      ['G06', ['IU-G06']],
      ['G07', ['IU-G07']],
    ].flatMap(([room, units]) => [
      `bus panel-${room} : PanelLine using Panel-0v5 {`,
      `  land WP-${room}.panel`,
      ...units.map((unit) => `  land ${unit}.panel 8 m`),
      '}',
      '',
    ]),
    'zone Public "Public areas" {',
    ...[1, 2, 3, 4].map((number) => `  unit IU-G0${number}`),
    '}',
  ];
}

function networkFile() {
  return [
    '// The controls network of the house.',
    '',
    'network controls "Building controls" 10.71.8.0/24 vlan 71 {',
    '  router R-1 10.71.8.1',
    '  pool 10.71.8.100 .. 10.71.8.199',
    '  host SW-1.p1 10.71.8.2',
    '  host SM-1.eth 10.71.8.20 from SW-1.p2 using Data-4p 2 m {',
    '    page "https://10.71.8.20/"',
    '    name "10.71.8.20"',
    '    expires 2029-01-31',
    '  }',
    '  laptop 10.71.8.60',
    '}',
  ];
}

function floorFile(floor) {
  const rooms = (wing) =>
    Array.from({ length: roomsPerWing }, (_, index) => ({
      number: index + 1,
      name: roomName(floor, wing, index + 1),
      xM: wing.letter === 'E' ? wing.xM + 4 * (index + 1) : wing.xM + 4 * (roomsPerWing - index),
      yM: index % 2 === 0 ? 4 : 14,
    }));
  return [
    `// Guest floor ${floor}: ${roomsPerWing} rooms in each wing, the linen room with the floor's panel between them.`,
    '',
    `area Level${floor} "Floor ${floor}" level ${Number((floor * floorHeightM).toFixed(1))} m {`,
    ...wings.flatMap((wing) =>
      rooms(wing).map(
        (room) =>
          `  room ${room.name} "Room ${floor}${wing.letter}${two(room.number)}" at ${room.xM} m, ${room.yM} m`,
      ),
    ),
    `  room Linen-${floor} "Linen room" at 54 m, 9 m`,
    '}',
    '',
    `board DB-${floor} "Floor board" in Linen-${floor} {`,
    ...wings.map(
      (wing) =>
        `  way W${wing.letter} 230 VAC 10 A curve B rcd 30 mA poles 2 "Indoor units, ${wing.title} wing"`,
    ),
    '  way WC 230 VAC 6 A curve B rcd 30 mA poles 2 "Controls"',
    '}',
    '',
    `device FP-${floor} "Floor panel" : FloorPanel in Linen-${floor} { address 200 }`,
    `device BC-${floor} "Coupler to the house line" : BuildingCoupler in Linen-${floor} { address 201 on central  address ${10 + floor} on site }`,
    `device PS-${floor}C "Supply of the coupler" : Supply-24DC-60 in Linen-${floor} {`,
    `  inlet primary from DB-${floor}.WC using Mains-3x1v5 2 m`,
    '}',
    `device PS-${floor}F "Supply of the floor panel" : Supply-24AC-63 in Linen-${floor} {`,
    `  inlet primary from DB-${floor}.WC using Mains-3x1v5 2 m`,
    '}',
    `feed F-${floor}F "Floor panel" from PS-${floor}F.out using Supply-1v5 { land FP-${floor}.supply 3 m covered }`,
    `feed F-${floor}C "Coupler" from PS-${floor}C.out using Supply-1v5 { land BC-${floor}.supply 2 m }`,
    '',
    `bus central-${floor} "Central line, floor ${floor}" : CentralLine using Bus-0v75 {`,
    `  land ${outdoorUnit(floor, wings[0])}.central terminated`,
    `  land ${outdoorUnit(floor, wings[1])}.central 62 m`,
    `  land FP-${floor}.central ${Math.round((guestFloors.length + 1 - floor) * floorHeightM + 20)} m`,
    `  land BC-${floor}.central 2 m terminated bonded`,
    '}',
    ...wings.flatMap((wing) => [
      '',
      `// ---- ${wing.title[0].toUpperCase()}${wing.title.slice(1)} wing ----`,
      '',
      ...rooms(wing).map(
        (room) =>
          `device IU-${floor}${wing.letter}${two(room.number)} : ${room.number === 1 || room.number === roomsPerWing ? 'CeilingUnit-71' : 'WallUnit-25'} in ${room.name} { address ${room.number + (wing.letter === 'W' ? roomsPerWing : 0)}  inlet mains from DB-${floor}.W${wing.letter} }`,
      ),
      ...rooms(wing).map(
        (room) => `device WP-${floor}${wing.letter}${two(room.number)} : WallPanel in ${room.name}`,
      ),
      '',
      `bus line-${floor}${wing.letter} "Floor ${floor}, ${wing.title} wing" : UnitLine using Bus-0v75 {`,
      `  land ${outdoorUnit(floor, wing)}.units terminated bonded`,
      ...rooms(wing).map(
        (room) =>
          `  land IU-${floor}${wing.letter}${two(room.number)}.units ${room.number === 1 ? Math.round((guestFloors.length + 1 - floor) * floorHeightM + 18) : 14} m${room.number === roomsPerWing ? ' terminated' : ''}`,
      ),
      '}',
      ...rooms(wing).flatMap((room) => [
        '',
        `bus panel-${floor}${wing.letter}${two(room.number)} : PanelLine using Panel-0v5 {`,
        `  land IU-${floor}${wing.letter}${two(room.number)}.panel`,
        `  land WP-${floor}${wing.letter}${two(room.number)}.panel 6 m`,
        '}',
      ]),
    ]),
    '',
    ...wings.flatMap((wing) => [
      `zone Wing-${floor}${wing.letter} "Floor ${floor}, ${wing.title} wing" {`,
      ...rooms(wing).map((room) => `  unit IU-${floor}${wing.letter}${two(room.number)}`),
      '}',
    ]),
  ];
}
