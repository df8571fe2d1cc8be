/**
 * Sites of any size that a building could have, for measuring and for random edits.
 *
 * Each floor has units in groups of twenty on one link with an outdoor unit and a floor panel, a wall
 * controller for every unit, and boards and supplies that feed them. Some groups are joined by a
 * repeater, and every fifth group of fan units hangs below a relay.
 */

export interface LargeSite {
  readonly root: string;
  readonly files: Readonly<Record<string, string>>;
  /** How many devices there are. */
  readonly devices: number;
}

export interface LargeSiteOptions {
  /** About how many devices; a group is finished once it is begun. */
  readonly devices: number;
  /** How many groups stand in a file of their own; left out: all stand in the root file. */
  readonly groupsInFile?: number;
}

const unitsInGroup = 20;
const groupsInArea = 10;

export function largeSite({ devices, groupsInFile }: LargeSiteOptions): LargeSite {
  const files: Record<string, string> = { 'templates.ferrule': templates };
  const groups: string[] = [];
  let count = 0;
  for (let number = 1; count < devices; number++) {
    const group = groupText(number);
    groups.push(group.text);
    count += group.devices;
  }
  const areas = Array.from({ length: Math.ceil(groups.length / groupsInArea) }, (_, index) =>
    areaText(index + 1),
  ).join('\n');
  const uses: string[] = [];
  let inRoot = groups.join('\n');
  if (groupsInFile !== undefined) {
    inRoot = '';
    for (let start = 0; start < groups.length; start += groupsInFile) {
      const file = `groups-${String(start / groupsInFile + 1)}.ferrule`;
      files[file] = groups.slice(start, start + groupsInFile).join('\n');
      uses.push(`use "./${file}"\n`);
    }
  }
  files['site.ferrule'] =
    `use "./templates.ferrule"\n${uses.join('')}\nsite Large "A large site" {\n  drawing "L-1" revision "A"\n  limit voltage-drop 5 %\n}\n\n${areas}\n${inRoot}`;
  return { root: 'site.ferrule', files, devices: count };
}

function areaText(number: number): string {
  const rooms = Array.from(
    { length: groupsInArea },
    (_, index) => `  room Zone${index + 1} at ${4 * (index + 1)} m, 6 m\n`,
  );
  return `area Level${number} level ${4 * number} m {\n${rooms.join('')}}\n`;
}

function groupText(number: number): { readonly text: string; readonly devices: number } {
  const room = `Level${Math.ceil(number / groupsInArea)}.Zone${((number - 1) % groupsInArea) + 1}`;
  const id = String(number);
  const unit = (index: number) => `FC-${id}-${String(index).padStart(2, '0')}`;
  const lines: string[] = [
    `board DB-${id} in ${room} {`,
    '  way W1 400 VAC three-phase 25 A curve C',
    '  way W2 230 VAC 16 A curve B rcd 30 mA',
    '  way W3 230 VAC 6 A curve B',
    '}',
    '',
    `isolator Q-${id} on DB-${id}.W1 in ${room} lockable`,
    '',
    `device OU-${id} : Outdoor in ${room} {`,
    '  address 64',
    `  inlet mains from DB-${id}.W1 using Mains-5 12 m`,
    '}',
    '',
    `device PS-${id} : Supply in ${room} {`,
    `  inlet primary from DB-${id}.W3 using Mains-3 4 m`,
    '}',
    '',
    `device ZC-${id} : Panel in ${room} {`,
    '  address 63',
    `  inlet supply from PS-${id}.out using Control 6 m`,
    '}',
    '',
  ];
  let devices = 3;
  for (let index = 1; index <= unitsInGroup; index++) {
    lines.push(
      `device ${unit(index)} "Unit ${index} of group ${id}" : Indoor in ${room} {`,
      // Number 13 is kept for another use.
      `  address ${index < 13 ? index : index + 1}`,
      '}',
      '',
      `device WC-${id}-${String(index).padStart(2, '0')} : Wall in ${room}`,
      '',
      `bus room-${id}-${String(index).padStart(2, '0')} : RoomLink using Control {`,
      `  land ${unit(index)}.room`,
      `  land WC-${id}-${String(index).padStart(2, '0')}.link 6 m`,
      '}',
      '',
    );
    devices += 2;
  }
  const joined = number % 3 === 0;
  lines.push(
    `bus field-${id} : FieldLink using Screened {`,
    `  land OU-${id}.field terminated bonded`,
  );
  for (let index = 1; index <= unitsInGroup; index++) {
    lines.push(`  land ${unit(index)}.field ${3 + (index % 4)} m`);
  }
  if (joined) {
    lines.push(`  land RP-${id}.near 4 m`);
  }
  lines.push(`  land ZC-${id}.field 5 m terminated`, '}', '');
  if (joined) {
    lines.push(
      `device RP-${id} : Repeater in ${room}`,
      '',
      `device FC-${id}-90 : Indoor in ${room} {`,
      '  address 40',
      '}',
      '',
      `bus far-${id} : FieldLink using Screened {`,
      `  land RP-${id}.far terminated bonded`,
      `  land FC-${id}-90.field 9 m terminated`,
      '}',
      '',
    );
    devices += 2;
  }
  lines.push(
    `feed mains-${id} from DB-${id}.W2 using Mains-3 {`,
    ...Array.from(
      { length: unitsInGroup },
      (_, index) => `  land ${unit(index + 1)}.mains ${4 + (index % 3)} m`,
    ),
    ...(joined ? [`  land FC-${id}-90.mains 5 m`] : []),
    '}',
    '',
  );
  if (number % 5 === 0) {
    lines.push(
      `device GW-${id} : Relay in ${room} {`,
      '  address 50',
      '}',
      '',
      `device TP-${id} : TrunkPanel in ${room}`,
      '',
      `bus trunk-${id} : TrunkLink using Screened {`,
      `  land TP-${id}.trunk`,
      `  land GW-${id}.trunk 20 m`,
      '}',
      '',
      `bus fans-${id} : FanLink using Control {`,
      `  land GW-${id}.fans`,
      ...['1', '2', '3'].map((index) => `  land FN-${id}-${index}.fans 8 m`),
      '}',
      '',
      ...['1', '2', '3'].flatMap((index) => [
        `device FN-${id}-${index} : Fan in ${room} {`,
        `  address ${index}`,
        '}',
        '',
      ]),
      `zone Z-${id} {`,
      ...['1', '2', '3'].map((index) => `  unit FN-${id}-${index}`),
      '}',
      '',
    );
    devices += 5;
  }
  if (number % 5 === 0) {
    lines.push(
      `accept screen-unbonded on trunk-${id} because "bonded in the panel" until 2027-06-30`,
      '',
      `observed ZC-${id} finds ${unitsInGroup + (joined ? 1 : 0)} on 2026-11-20`,
      '',
    );
  }
  return { text: lines.join('\n'), devices };
}

const templates = `bustype FieldLink {
  conductors 2 polarised
  shape chain
  drops 32
  length total 500 m
  address 1 .. 64 except 13
  controllers 3
  cable 0.5 mm2 .. 1.5 mm2 screened
  terminate both-ends 120 ohm
}

bustype RoomLink {
  conductors 2
  shape chain
  drops 4
  length total 100 m
  power 15 VDC minimum 11 VDC
  cable 0.5 mm2 .. 1.5 mm2
}

bustype TrunkLink {
  conductors 2
  shape chain
  drops 16
  length total 500 m
  address 1 .. 64
  controllers 2
  cable 0.5 mm2 .. 1.5 mm2
}

bustype FanLink {
  conductors 2
  shape chain
  drops 16
  length total 300 m
  address 1 .. 30
  controllers 2
  cable 0.5 mm2 .. 1.5 mm2
}

cable Screened "2-core screened 0.75 mm2" {
  cores 2 x 0.75 mm2 class 5
  colours BK, WH
  screened twisted
  impedance 120 ohm
  rated 300 V
  reel 100 m
}

cable Control "2-core 0.75 mm2" {
  cores 2 x 0.75 mm2 class 5
  colours GY, PK
  rated 300 V
  reel 100 m
}

cable Mains-3 "3-core 2.5 mm2" {
  cores 3 x 2.5 mm2 class 5
  colours BN, BU, GNYE
  rated 500 V
  reel 100 m
}

cable Mains-5 "5-core 4 mm2" {
  cores 5 x 4 mm2 class 5
  colours BN, BK, GY, BU, GNYE
  rated 500 V
  reel 100 m
}

equipment Outdoor "Outdoor unit" {
  role outdoor-unit
  inlet mains 400 VAC three-phase 16 A terminals L1, L2, L3, N, PE
  port field : FieldLink terminals U1, U2 as controller
}

equipment Indoor "Indoor unit" {
  role indoor-unit
  inlet mains 230 VAC 0.4 A tolerance 10 % terminals L, N, PE
  port field : FieldLink terminals U1, U2 as responder
  port room : RoomLink terminals W1, W2 as responder { gives 15 VDC up to 240 mA }
}

equipment Wall "Wall controller" {
  role room-controller
  port link : RoomLink terminals W1, W2 as controller { takes 20 mA }
  supervises indoor-unit via link up to 1
}

equipment Panel "Floor panel" {
  role zone-controller
  inlet supply 24 VAC 10 VA tolerance 10 % terminals V0, V1
  port field : FieldLink terminals U1, U2 as controller
  supervises indoor-unit via field up to 32
}

equipment Supply "24 V supply" {
  role supply
  inlet primary 230 VAC 0.5 A terminals L, N, PE
  outlet out 24 VAC 60 VA class-2 selv terminals V0, V1
}

equipment Repeater "Repeater" {
  role repeater
  port near : FieldLink terminals A1, A2 as neither
  port far : FieldLink terminals B1, B2 as neither
  repeats near to far
}

equipment Fan "Fan unit" {
  role indoor-unit
  port fans : FanLink terminals N1, N2 as responder
}

equipment Relay "Relay between trunk and fans" {
  role gateway
  port trunk : TrunkLink terminals T1, T2 as responder
  port fans : FanLink terminals N1, N2 as controller { addressed none }
  relays trunk to fans
}

equipment TrunkPanel "Panel on the trunk" {
  role site-controller
  port trunk : TrunkLink terminals T1, T2 as controller { addressed none }
  supervises indoor-unit via trunk up to 64
}
`;
