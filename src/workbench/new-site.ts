/** The files of a new site: a small one that is right, and the starter library as its own equipment. */
import { starterFiles } from '../packages/generated/starter.js';

export interface NewFile {
  /** Relative to the folder of the site, with `/`. */
  readonly path: string;
  readonly text: string;
}

/**
 * The equipment stands beside the site's folder and not in it: what a library holds need not all be used.
 * The site file comes last: where it stands, everything that it uses stands.
 */
export function newSite(folderName: string): readonly NewFile[] {
  const name = siteName(folderName);
  const npmName = name.toLowerCase();
  return [
    ...[...starterFiles].map(([file, text]) => ({ path: `equipment/${file}`, text })),
    {
      path: 'package.json',
      text: `${JSON.stringify({ name: npmName, private: true }, undefined, 2)}\n`,
    },
    { path: `site/${npmName}.ferrule`, text: siteText(name, folderName.trim() || name) },
  ];
}

/** What a folder is called as a name of the language: letters and digits with `-` between. */
function siteName(folderName: string): string {
  const plain = folderName.normalize('NFD').replace(/\p{M}/gu, '');
  const words = plain.match(/[A-Za-z0-9]+/gu) ?? [];
  const joined = words.join('-').replace(/^[0-9-]+/u, '');
  return joined === '' ? 'Site' : joined[0]!.toUpperCase() + joined.slice(1);
}

function siteText(name: string, title: string): string {
  return `// A small site to start from. The equipment beside it is generic and its figures are invented:
// replace them by the data of the equipment that is really used.

use "../equipment/links.ferrule"
use "../equipment/cables.ferrule"
use "../equipment/outdoor-units.ferrule"
use "../equipment/indoor-units.ferrule"
use "../equipment/controllers.ferrule"
use "../equipment/supplies.ferrule"

site ${name} "${title.replaceAll(/["\\\n\r]/gu, ' ')}" {
  drawing "1"
  limit voltage-drop 5 %
  conductor-temperature 40 C
}

area Roof level 4 m { room Deck at 8 m, 4 m }

area Ground level 0 m {
  room Office at 6 m, 4 m
  room Technical at 2 m, 4 m
}

board DB-1 "Mechanical services board" in Technical {
  way W1 400 VAC three-phase 20 A curve C "Outdoor unit"
  way W2 230 VAC 10 A curve B rcd 30 mA poles 2 "Indoor units"
  way W3 230 VAC 6 A curve B rcd 30 mA poles 2 "Controls"
}

isolator QS-1 "Local isolator of the outdoor unit" on DB-1.W1 in Deck lockable

device OU-1 : Outdoor-28 in Deck { address 1  inlet mains from DB-1.W1 using Mains-5x4 16 m }
device IU-1 : Cassette-36 in Office { address 11  inlet mains from DB-1.W2 using Mains-3x1v5 8 m }
device IU-2 : Cassette-36 in Office { address 12  inlet mains from DB-1.W2 using Mains-3x1v5 12 m }
device WC-1 : WallController in Office
device ZC-1 : ZoneController in Technical main { address 101 on units }
device PS-1 : Transformer-40 in Technical { inlet primary from DB-1.W3 using Mains-3x1v5 2 m }

bus units-1 : UnitLink using Bus-2x0v75 {
  land OU-1.units terminated bonded
  land IU-1.units 14 m
  land IU-2.units 6 m
  land ZC-1.units 12 m terminated
}

/// One wall controller commands both units of the office.
bus wall-1 : WallLink using Wall-2x0v75 {
  land WC-1.wall
  land IU-1.wall 7 m
  land IU-2.wall 6 m
}

feed F-1 from PS-1.out using Supply-2x1v5 { land ZC-1.supply 3 m covered }
`;
}
