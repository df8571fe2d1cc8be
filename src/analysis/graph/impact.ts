/** What is lost when a single cable, way, outlet, isolator, board or device fails. */
import type { Fact, Term } from '../../model/finding.js';
import { compareNames, memberKey } from '../../model/site.js';
import type { Site } from '../../model/site.js';
import { memoised } from '../memo.js';
import { segmentsOf } from '../run.js';
import { term } from '../working.js';
import { elementKey } from './elements.js';
import type { Element } from './elements.js';
import { impactNetworkOf } from './impact-network.js';
import type { NodeId } from './single-failures.js';

export type { Element } from './elements.js';

/** What is lost, by names in their order. What did not work before is not lost. */
export interface Impact {
  /** Devices that have no supply any more; what fails itself is not among them. */
  readonly withoutSupply: readonly string[];
  /** Units that no controller finds any more. */
  readonly notFound: readonly string[];
  /** Buses on which no port as controller is alive any more. */
  readonly withoutController: readonly string[];
  /** Powered buses of which no giving port is alive any more. */
  readonly withoutSource: readonly string[];
}

/** What is lost when an element fails; nothing for one that is not known. */
export function impactOf(site: Site, element: Element): Impact {
  const { failures, names } = networkOf(site, site);
  const lost = [...failures.lostWith(elementKey(element))];
  const itself = element.kind === 'named' ? element.name : '';
  return {
    withoutSupply: namesOf(names.supplied, lost).filter((name) => name !== itself),
    notFound: namesOf(names.found, lost),
    withoutController: namesOf(names.controlled, lost),
    withoutSource: namesOf(names.powered, lost),
  };
}

/** Whether some controller finds a unit while nothing fails: by cables and power as drawn. */
export function isFoundIntact(site: Site, unit: string): boolean {
  const { failures, found } = networkOf(site, site);
  const node = found.get(unit);
  return node !== undefined && failures.works(node);
}

/** Everything on a site whose failure can be asked about: what is named, then cables. */
export function elementsOf(site: Site): readonly Element[] {
  const names = [
    ...site.boards.keys(),
    ...[...site.boards.values()].flatMap((board) =>
      board.ways.map((way) => memberKey(board.name, way.name)),
    ),
    ...site.isolators.keys(),
    ...site.devices.keys(),
    ...[...site.devices.values()].flatMap((device) =>
      (site.equipment.get(device.equipment)?.outlets ?? []).map((outlet) =>
        memberKey(device.name, outlet.name),
      ),
    ),
  ].sort(compareNames);
  const runs = [...site.buses.values(), ...site.feeds.values()].sort((one, other) =>
    compareNames(one.name, other.name),
  );
  return [
    ...names.map((name): Element => ({ kind: 'named', name })),
    ...runs.flatMap((run) =>
      segmentsOf(site, run).map((_, position): Element => ({
        kind: 'cable',
        run: run.name,
        position,
      })),
    ),
    ...[...site.devices.values()].flatMap((device) =>
      device.inletLines.map(({ index }): Element => ({ kind: 'line', device: device.name, index })),
    ),
    ...[...site.networks.values()].flatMap(({ name, hosts }) =>
      hosts.map(({ index }): Element => ({ kind: 'host', network: name, index })),
    ),
  ];
}

/**
 * The element that a name stands for: what is declared under it, or, for a port, an inlet or a
 * socket (`FC-1.field`), the cable that leads to it.
 */
export function elementNamed(site: Site, name: string): Element | undefined {
  return elementsByName(site, site).get(name);
}

/** The impact of what a name stands for as a value with its working; undefined for an unknown name. */
export function factOfImpact(site: Site, name: string): Fact | undefined {
  const element = elementNamed(site, name);
  if (element === undefined) {
    return undefined;
  }
  const impact = impactOf(site, element);
  const lists: readonly (readonly [string, readonly string[]])[] = [
    ['devices without supply', impact.withoutSupply],
    ['units that no controller finds', impact.notFound],
    ['buses without a controller', impact.withoutController],
    ['buses without a source', impact.withoutSource],
  ];
  const all = new Set(lists.flatMap(([, names]) => names));
  return {
    subject: name,
    fact: 'impact',
    value: [...all].sort(compareNames),
    unit: '',
    basis: 'computed',
    source: SOURCE,
    terms: lists.flatMap(([words, names]): readonly Term[] =>
      names.length === 0 ? [] : [term(words, names.join(', '), '', 'computed')],
    ),
  };
}

const SOURCE =
  'common practice: one failure at a time, a cable cut and a device dead; what nobody states counts as live';

// Kept by the site as its own key, and so computed only when somebody asks: few do, and it reads everything.
const networkOf = memoised((site, _whole: Site) => {
  const { failures, supplied, found, controlled, powered } = impactNetworkOf(site);
  return {
    failures,
    found,
    names: {
      supplied: inverted(supplied),
      found: inverted(found),
      controlled: inverted(controlled),
      powered: inverted(powered),
    },
  };
});

const elementsByName = memoised((site, _whole: Site): ReadonlyMap<string, Element> => {
  const byName = new Map<string, Element>();
  for (const device of site.devices.values()) {
    for (const { index, inlet } of device.inletLines) {
      byName.set(memberKey(device.name, inlet), { kind: 'line', device: device.name, index });
    }
  }
  for (const { name, hosts } of site.networks.values()) {
    for (const { index, device, lan } of hosts) {
      byName.set(memberKey(device, lan), { kind: 'host', network: name, index });
    }
  }
  for (const run of [...site.feeds.values(), ...site.buses.values()]) {
    segmentsOf(site, run).forEach(({ to, closesRing }, position) => {
      const landing = typeof to === 'number' && !closesRing ? run.landings[to] : undefined;
      if (landing !== undefined) {
        const element: Element = { kind: 'cable', run: run.name, position };
        byName.set(memberKey(landing.device, landing.member), element);
      }
    });
  }
  for (const element of elementsOf(site)) {
    if (element.kind === 'named') {
      byName.set(element.name, element);
    }
  }
  return byName;
});

/** The names of those nodes that have one. */
function namesOf(names: ReadonlyMap<NodeId, string>, nodes: readonly NodeId[]): readonly string[] {
  return nodes.flatMap((node) => names.get(node) ?? []).sort(compareNames);
}

/** The name of each node, so that asking costs no more than the answer is long. */
function inverted(nodes: ReadonlyMap<string, NodeId>): ReadonlyMap<NodeId, string> {
  return new Map([...nodes].map(([name, node]) => [node, name]));
}
