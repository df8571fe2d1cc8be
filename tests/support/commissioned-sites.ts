/** Random sites as an installer could hand them over: all that is measured can be computed. */
import { readFileSync } from 'node:fs';
import { inProject } from '../../scripts/lib/root.mjs';
import { buildSite } from '../../src/model/site.js';
import type { Site } from '../../src/model/site.js';
import type { Random } from './random.js';
import { lines, siteOf } from './site.js';

const shared = ['links', 'cables', 'units', 'controllers', 'supplies', 'network'];

/**
 * One to three outdoor units with two to seven indoor units each, wall panels for some of them, a
 * floor panel, and a gateway with a page on most.
 */
export function commissionedSite(random: Random): Site {
  const unitLines = Array.from({ length: random.integer(1, 3) }, (_, line) =>
    unitLine(random, line + 1),
  );
  const hasGateway = random.next() < 0.7;
  const central = [
    ...unitLines.map(({ outdoor }) => `land ${outdoor}.central`),
    'land FP-1.central',
    ...(hasGateway ? ['land GW-1.central'] : []),
  ];
  const text = [
    ...shared.map((name) => `use "./equipment/${name}.ferrule"`),
    'site Random "A random site" { conductor-temperature 40 C }',
    'area Level level 0 m { room Hall at 1 m, 1 m }',
    `board DB-1 in Hall {\n${unitLines.map((_, index) => `  way M${index + 1} 400 VAC three-phase 20 A curve C\n  way U${index + 1} 230 VAC 10 A curve B\n`).join('')}  way C 230 VAC 6 A curve B\n}`,
    ...unitLines.map(({ text: own }) => own),
    'device FP-1 : FloorPanel in Hall main { address 200 }',
    'device PS-1 : Supply-24AC-63 in Hall { inlet primary from DB-1.C using Mains-3x1v5 2 m }',
    `feed F-1 from PS-1.out using Supply-1v5 { land FP-1.supply ${random.integer(3, 30)} m covered }`,
    chain('central', 'CentralLine', 'Bus-0v75', central, random, hasGateway ? 'last' : 'first'),
    ...(hasGateway ? gateway(random) : []),
  ].join('\n\n');
  const files = Object.fromEntries(
    shared.map((name) => [
      `equipment/${name}.ferrule`,
      readFileSync(inProject('examples', 'equipment', `${name}.ferrule`), 'utf8'),
    ]),
  );
  const { site, findings } = siteOf(`//- site.ferrule\n${text}\n`, files);
  const wrong = lines(findings.filter(({ finding }) => finding.severity === 'error'));
  if (wrong.length > 0) {
    throw new Error(`the random site is wrong: ${wrong.join('; ')}`);
  }
  return buildSite(site.entries);
}

function unitLine(
  random: Random,
  line: number,
): { readonly outdoor: string; readonly text: string } {
  const outdoor = `OU-${line}`;
  const units = Array.from(
    { length: random.integer(2, 7) },
    (_, index) => `IU-${line}${index + 1}`,
  );
  const panels = units.filter(() => random.next() < 0.4);
  return {
    outdoor,
    text: [
      `device ${outdoor} : HeatPump-28 in Hall { address ${line}  inlet mains from DB-1.M${line} using Mains-5x4 12 m }`,
      ...units.map(
        (unit, index) =>
          `device ${unit} : ${random.pick(['CeilingUnit-36', 'CeilingUnit-71', 'WallUnit-25'])} in Hall { address ${20 * line + index}  inlet mains from DB-1.U${line} }`,
      ),
      ...panels.map((unit) => `device WP-${unit} : WallPanel in Hall`),
      chain(
        `line-${line}`,
        'UnitLine',
        'Bus-0v75',
        [`land ${outdoor}.units`, ...units.map((unit) => `land ${unit}.units`)],
        random,
        'first',
      ),
      ...panels.map(
        (unit) =>
          `bus panel-${unit} : PanelLine using Panel-0v5 {\n  land ${unit}.panel\n  land WP-${unit}.panel ${random.integer(3, 12)} m\n}`,
      ),
    ].join('\n\n'),
  };
}

function chain(
  name: string,
  type: string,
  cable: string,
  landings: readonly string[],
  random: Random,
  bonded: 'first' | 'last',
): string {
  const last = landings.length - 1;
  const landed = landings.map((landing, index) => {
    const length = index === 0 ? '' : ` ${random.integer(4, 60)} m`;
    const isEnd = index === 0 || index === last;
    const bond = (bonded === 'first' ? 0 : last) === index ? ' bonded' : '';
    return `  ${landing}${length}${isEnd ? ' terminated' : ''}${bond}`;
  });
  return `bus ${name} : ${type} using ${cable} {\n${landed.join('\n')}\n}`;
}

function gateway(random: Random): readonly string[] {
  return [
    'device GW-1 : SiteGateway in Hall { address 250 }',
    'device PS-2 : Supply-24DC-60 in Hall { inlet primary from DB-1.C using Mains-3x1v5 2 m }',
    `feed F-2 from PS-2.out using Supply-1v5 { land GW-1.supply ${random.integer(2, 20)} m }`,
    'network building 10.62.4.0/24 {\n  host GW-1.eth 10.62.4.20 { page "https://10.62.4.20/"  name "10.62.4.20" }\n  laptop 10.62.4.60\n}',
  ];
}
