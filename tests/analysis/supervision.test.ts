/** Who finds whom, against a plain fixed-point search and on worked sites. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  addressedPortsOf,
  clashesOf,
  freeAddresses,
  isInRange,
} from '../../src/analysis/graph/addresses.js';
import {
  controllersFinding,
  knownAs,
  supervisionOf,
} from '../../src/analysis/graph/supervision.js';
import { factOf, factsOfSite } from '../../src/analysis/facts.js';
import type { Device } from '../../src/model/records.js';
import type { Site } from '../../src/model/site.js';
import { siteOf } from '../support/site.js';
import {
  addressRange,
  declarationsOf,
  plannedSites,
  siteFrom,
} from '../support/supervised-sites.js';
import type { Planned } from '../support/supervised-sites.js';

const runs = { numRuns: 1_000 };

/** What a panel reaches: pairs of a bus number and the space in which it is seen, found by going round until nothing is new. */
function reachOf(plan: readonly Planned[], panel: number): ReadonlySet<string> {
  const reached = new Set([`${plan[panel]!.first} root`]);
  for (let size = -1; size !== reached.size;) {
    size = reached.size;
    for (const pair of [...reached]) {
      const [bus = '', space = ''] = pair.split(' ');
      plan.forEach((one, index) => {
        if (String(one.first) === bus && one.equipment === 'Relay') {
          reached.add(`${one.second} ${space}`);
        } else if (String(one.first) === bus && one.equipment === 'Renumbering') {
          reached.add(`${one.second} below-${index}`);
        } else if (one.equipment === 'Repeater') {
          if (String(one.first) === bus) reached.add(`${one.second} ${space}`);
          if (String(one.second) === bus) reached.add(`${one.first} ${space}`);
        }
      });
    }
  }
  return reached;
}

const numbers = (plan: readonly Planned[], equipment: Planned['equipment']): number[] =>
  plan.flatMap((one, index) => (one.equipment === equipment ? [index] : []));

/** Buses with the same addresses: joined by repeaters. */
function sharingWith(plan: readonly Planned[], start: number): ReadonlySet<number> {
  const sharing = new Set([start]);
  for (let size = -1; size !== sharing.size;) {
    size = sharing.size;
    for (const one of plan.filter(({ equipment }) => equipment === 'Repeater')) {
      if (sharing.has(one.first) || sharing.has(one.second)) {
        sharing.add(one.first).add(one.second);
      }
    }
  }
  return sharing;
}

const busesOf = ({ equipment, first, second }: Planned): readonly number[] =>
  equipment === 'Repeater'
    ? []
    : equipment === 'Relay' || equipment === 'Renumbering'
      ? [first, second]
      : [first];

/** Whether two devices may not have one address. Relays are landed twice; only fan units are found. */
function mustDiffer(plan: readonly Planned[], one: number, other: number): boolean {
  const meet = busesOf(plan[one]!).some((bus) =>
    busesOf(plan[other]!).some((otherBus) => sharingWith(plan, bus).has(otherBus)),
  );
  const areFans = plan[one]!.equipment === 'Fan' && plan[other]!.equipment === 'Fan';
  const areSeen = numbers(plan, 'Panel').some((panel) => {
    const pairs = [...reachOf(plan, panel)].map((pair) => pair.split(' '));
    const spaces = (fan: number) =>
      pairs.filter(([bus]) => bus === String(plan[fan]!.first)).map(([, space]) => space);
    return spaces(one).some((space) => spaces(other).includes(space));
  });
  return meet || (areFans && areSeen);
}

describe('supervision', () => {
  it('finds what a plain search finds, each unit once', () => {
    fc.assert(
      fc.property(plannedSites, (plan) => {
        const site = siteFrom(declarationsOf(plan));
        for (const panel of numbers(plan, 'Panel')) {
          const buses = new Set([...reachOf(plan, panel)].map((pair) => pair.split(' ')[0]));
          const expected = numbers(plan, 'Fan')
            .filter((fan) => buses.has(String(plan[fan]!.first)))
            .map((fan) => `D${fan}`);
          const units = supervisionOf(site, deviceOf(site, panel))!.units.map(
            (unit) => unit.device.name,
          );
          expect([...units].sort()).toEqual(expected.sort());
        }
      }),
      runs,
    );
  });

  it('tells each unit who finds it', () => {
    fc.assert(
      fc.property(plannedSites, (plan) => {
        const site = siteFrom(declarationsOf(plan));
        for (const fan of numbers(plan, 'Fan')) {
          const expected = numbers(plan, 'Panel')
            .filter((panel) =>
              [...reachOf(plan, panel)].some((pair) => pair.startsWith(`${plan[fan]!.first} `)),
            )
            .map((panel) => `D${panel}`);
          expect(controllersFinding(site, `D${fan}`).map((one) => one.name)).toEqual(expected);
        }
      }),
      runs,
    );
  });

  it('gives the same facts whatever the order of the declarations', () => {
    fc.assert(
      fc.property(
        plannedSites.chain((plan) => {
          const declarations = declarationsOf(plan);
          return fc.tuple(
            fc.constant(declarations),
            fc.shuffledSubarray([...declarations], { minLength: declarations.length }),
          );
        }),
        ([declarations, shuffled]) => {
          expect(factsOfSite(siteFrom(shuffled))).toEqual(factsOfSite(siteFrom(declarations)));
        },
      ),
      runs,
    );
  });
});

describe('addresses', () => {
  it('clash exactly where two devices share a bus or one controller sees both', () => {
    fc.assert(
      fc.property(plannedSites, (plan) => {
        const site = siteFrom(declarationsOf(plan));
        plan.forEach((one, index) => {
          const expected = plan.flatMap((other, otherIndex) =>
            otherIndex !== index &&
            one.address !== undefined &&
            one.address === other.address &&
            one.equipment !== 'Repeater' &&
            other.equipment !== 'Repeater' &&
            mustDiffer(plan, index, otherIndex)
              ? [`D${otherIndex}`]
              : [],
          );
          const clashes = clashesOf(site, deviceOf(site, index)).map(
            ({ other }) => other.device.name,
          );
          expect([...clashes].sort()).toEqual(expected.sort());
        });
      }),
      runs,
    );
  });

  it('are offered where they are free, and all that are free are offered, lowest first', () => {
    fc.assert(
      fc.property(plannedSites, fc.nat(), (plan, pick) => {
        const chosen = pick % plan.length;
        const free = [...freeAddresses(siteFrom(declarationsOf(plan)), device(plan, chosen), 'a')];
        const expected: number[] = [];
        for (let address = addressRange.from; address <= addressRange.to; address++) {
          const tried = plan.map((one, index) => (index === chosen ? { ...one, address } : one));
          const site = siteFrom(declarationsOf(tried));
          const ports = addressedPortsOf(site, deviceOf(site, chosen)).filter(
            (one) => one.port.name === 'a',
          );
          const clash = clashesOf(site, deviceOf(site, chosen)).some(
            ({ own }) => own.port.name === 'a',
          );
          if (ports.length > 0 && !clash && isInRange(addressRange, address)) {
            expected.push(address);
          }
        }
        // A relay with both ports in one space reports a clash at the port that comes first in the
        // text, so only devices with one port can be compared by trying.
        if (plan[chosen]!.equipment === 'Fan' || plan[chosen]!.equipment === 'Panel') {
          expect(free).toEqual(expected);
        }
        expect([...free].sort((one, other) => one - other)).toEqual(free);
      }),
      runs,
    );
  });
});

describe('a site in two tiers', () => {
  const templates = `
bustype Trunk { conductors 2  address 1 .. 9  controllers 2 }
bustype Zone { conductors 2  address 1 .. 9 except 3  controllers 2 }
equipment Unit { role indoor-unit  port zone : Zone terminals A, B as responder }
equipment Relay {
  role gateway
  port trunk : Trunk terminals A, B as responder
  port zone : Zone terminals C, D as controller
  relays trunk to zone RENUMBERED
}
equipment Panel {
  role site-controller
  port trunk : Trunk terminals A, B as controller
  supervises indoor-unit via trunk up to 8
}
`;
  const wiring = `
device P-1 : Panel { address 1 }
device R-1 : Relay { address 2 }
device R-2 : Relay { address 3 on trunk  address 2 on zone }
device U-10 : Unit { address 5 }
device U-2 : Unit { address 6 }
device U-3 : Unit { address 5 }
device U-4 : Unit
bus trunk : Trunk { land P-1.trunk  land R-2.trunk 5 m  land R-1.trunk 5 m }
bus zone-1 : Zone { land R-1.zone  land U-10.zone 5 m  land U-2.zone 5 m }
bus zone-2 : Zone { land R-2.zone  land U-3.zone 5 m  land U-4.zone 5 m }
`;
  const site = (renumbered: 'renumbered' | '') =>
    siteOf(templates.replace('RENUMBERED', renumbered) + wiring);

  it('is found in the order of the buses, zones where their relay is landed', () => {
    const { site: model } = site('');
    expect(factOf(model, 'P-1', 'finds')).toMatchObject({ value: 4, limit: 8, margin: 0.5 });
    expect(factOf(model, 'P-1', 'found-units')?.value).toEqual(['U-3', 'U-4', 'U-10', 'U-2']);
  });

  it('clashes across zones, unless the relays renumber', () => {
    const rules = (renumbered: 'renumbered' | '') =>
      site(renumbered)
        .findings.map(({ finding }) => finding)
        .filter((finding) => finding.rule === 'address-duplicate');
    expect(rules('').map((finding) => finding.subject)).toEqual(['U-3']);
    expect(rules('')[0]?.what).toBe(
      'U-3 has address 5, which U-10 already has on zone-1, and P-1 sees them together.',
    );
    expect(rules('renumbered')).toEqual([]);
  });

  it('offers the lowest free address over everything the controllers see', () => {
    const plain = site('').site;
    // 2 is the relay's own on the zone, 3 is excepted; 5 and 6 are seen by the panel in the other zone.
    expect([...freeAddresses(plain, plain.devices.get('U-4')!, 'zone')]).toEqual([1, 4, 7, 8, 9]);
    const apart = site('renumbered').site;
    expect([...freeAddresses(apart, apart.devices.get('U-4')!, 'zone')]).toEqual([
      1, 4, 6, 7, 8, 9,
    ]);
  });

  it('is known by relay and unit where the relay renumbers', () => {
    const { site: model } = site('renumbered');
    const units = supervisionOf(model, model.devices.get('P-1')!)!.units;
    expect(units.map(knownAs)).toEqual(['R-2/U-3', 'R-2/U-4', 'R-1/U-10', 'R-1/U-2']);
  });

  it('states addresses as facts, and what is missing', () => {
    const { site: model } = site('');
    expect(factOf(model, 'R-1', 'address')?.value).toBe(2);
    expect(factOf(model, 'R-2', 'address')?.value).toEqual(['3 on trunk', '2 on zone']);
    expect(factOf(model, 'U-4', 'address')).toMatchObject({
      value: null,
      basis: 'unknown',
      needs: 'address N',
    });
  });
});

describe('supervision over a network', () => {
  it('reaches gateways on joined networks only', () => {
    const { site } = siteOf(`
bustype Zone { conductors 2 }
equipment Unit { role indoor-unit  port zone : Zone terminals A, B as responder }
equipment Gateway {
  role gateway
  port zone : Zone terminals A, B as controller
  lan lan
  relays lan to zone
}
equipment Server { role site-controller  lan lan  supervises indoor-unit via lan }
device S-1 : Server
device G-1 : Gateway
device G-2 : Gateway
device U-1 : Unit
device U-2 : Unit
bus zone-1 : Zone { land G-1.zone  land U-1.zone 5 m }
bus zone-2 : Zone { land G-2.zone  land U-2.zone 5 m }
network office 10.1.0.0/24 { router R 10.1.0.1  host S-1.lan 10.1.0.10  laptop 10.1.0.254 }
network plant 10.2.0.0/24 { router R 10.2.0.1  host G-1.lan 10.2.0.10  laptop 10.2.0.254 }
network apart 10.3.0.0/24 { router Q 10.3.0.1  host G-2.lan 10.3.0.10  laptop 10.3.0.254 }
`);
    expect(factOf(site, 'S-1', 'found-units')?.value).toEqual(['U-1']);
  });
});

function deviceOf(site: Site, index: number): Device {
  return site.devices.get(`D${index}`)!;
}

function device(plan: readonly Planned[], index: number): Device {
  return declarationsOf(plan).find(
    (one): one is Device => one.kind === 'device' && one.name === `D${index}`,
  )!;
}
