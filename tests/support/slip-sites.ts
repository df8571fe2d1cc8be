/** Sites that are right, to be spoiled by slips and by changes of what they mean. */
import { readFileSync } from 'node:fs';
import path from 'node:path';
import { inProject } from '../../scripts/lib/root.mjs';

export interface RightSite {
  readonly name: string;
  readonly root: string;
  /** Texts by path; the root among them. */
  readonly files: Readonly<Record<string, string>>;
}

/** A site of the rules' pages' equipment with every kind of declaration in it. */
const house = `use "../common.ferrule"

site Mill "Mill house" {
  drawing "MH-1" revision "A"
  limit voltage-drop 5 %
  conductor-temperature 40 C
  estimate factor 1.2 ends 2 m
}

area Roof level 7.5 m {
  room Plant at 3 m, 2 m
}

area Ground level 0.5 m {
  room Hall at 4 m, 3 m
  room Office "Office of the mill" at 16.5 m, 3 m
}

board DB-1 in Plant {
  way W1 400 VAC three-phase 20 A curve C "Outdoor unit"
  way W2 230 VAC 10 A curve B "Indoor units"
  way W3 230 VAC 6 A curve B "Controls"
}

isolator Q-1 on DB-1.W1 in Plant lockable

device OU-1 : OutdoorUnit in Plant { address 1  inlet mains from DB-1.W1 }
device IU-1 : IndoorUnit in Hall { address 2  inlet mains from DB-1.W2 using MainsThree 12.5 m }
device IU-2 "Office unit" : IndoorUnit in Ground.Office {
  address 3
  inlet mains from DB-1.W2
}

device WC-1 : WallController in Hall
device WC-2 : WallController in Office
device TC-1 : TouchController in Hall main { address 60 }
device PS-1 : ControlSupply in Plant { inlet primary from DB-1.W3 }
device PS-2 : ControlSupply in Plant { inlet primary from DB-1.W3 }
device GW-1 : Gateway in Plant

device TP-1 : TrunkPanel { address 1 }
device ZR-1 : ZoneRelay { address 2 }
device FU-1 : FanUnit { address 3 }
device FU-2 : FanUnit { address 4 }
device FU-3 : FanUnit { address 5 }
device SG-1 : WebGateway

bus field-1 "Unit link" : UnitLink using ScreenedPair {
  land OU-1.field terminated bonded
  land IU-1.field 18.5 m
  land IU-2.field 9 m { spur 1.5 m { land TC-1.field } }
  land LU-1.field 6 m terminated
}

bus room-1 : WallLink using PlainPair { land IU-1.room  land WC-1.link 6 m }
bus room-2 : WallLink using PlainPair {
  land IU-2.room
  land WC-2.link 6.5 m
}

device LU-1 : LinkUnit in Office { address 5 }

bus trunk-1 : TrunkLink using PlainPair {
  land TP-1.trunk
  land ZR-1.trunk 8 m
}

bus zone-1 : ZoneLink using PlainPair {
  land ZR-1.zone
  land FU-1.zone 8 m
  land FU-2.zone 140 m
  land FU-3.zone 160 m
}

feed F-1 "Touch controller" from PS-1.out using SupplyPair { land TC-1.supply 14 m covered }
feed F-2 from PS-2.out using SupplyPair {
  land GW-1.supply 3 m
}

containment Tray-1 divided { carries field-1  carries DB-1.W1 }
containment Tray-2 {
  carries zone-1
  carries F-2
}

network controls "Controls" 10.40.8.0/24 vlan 40 {
  router R-1 10.40.8.1
  pool 10.40.8.100 .. 10.40.8.199
  host GW-1.lan 10.40.8.20 {
    page "https://10.40.8.20/"
    name "10.40.8.20"
    expires 2027-11-25
  }
  host SG-1.lan 10.40.8.21
  laptop 10.40.8.50
}

zone Readers { unit FU-1  unit FU-2 }
accept bus-too-long on zone-1 up to 320 m because "existing cable, tested" until 2027-03-31
accept default-address-clash on controls because "commissioned one by one" until 2027-03-31
observed TP-1 finds 3 on 2026-11-20
observed WC-1 finds 1 on 2026-11-20
observed field-1 measures 61 ohm power-off on 2026-11-20
observed GW-1.lan page opens on 2026-11-20
`;

/** Sites that have no error and no warning. */
export function rightSites(): readonly RightSite[] {
  const library = 'examples/library/library.ferrule';
  const equipment = ['links', 'cables', 'units', 'controllers', 'supplies', 'network'].map(
    (name) => `examples/equipment/${name}.ferrule`,
  );
  return [
    { name: 'library', root: library, files: filesAt([library, ...equipment]) },
    {
      name: 'house',
      root: 'house/site.ferrule',
      files: {
        'house/site.ferrule': house,
        'common.ferrule': readFileSync(inProject('src/rules/common.ferrule'), 'utf8'),
      },
    },
  ];
}

function filesAt(paths: readonly string[]): Record<string, string> {
  return Object.fromEntries(
    paths.map((one) => [path.posix.normalize(one), readFileSync(inProject(one), 'utf8')]),
  );
}
