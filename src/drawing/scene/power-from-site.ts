/** The site model → power scene. Never throws on a half-typed site, and ends where a site feeds itself in a ring. */
import { poweredSegmentOf } from '../../analysis/power/bus-load.js';
import { connectionsOf, consumersOf, pointsOf } from '../../analysis/power/consumers.js';
import { factOf } from '../../analysis/facts.js';
import { loadOf, loadOfFeed } from '../../analysis/power/loads.js';
import { voltageAt, voltageProfile } from '../../analysis/power/profile.js';
import type { ProfilePlace } from '../../analysis/power/profile.js';
import type { Finding } from '../../model/finding.js';
import { part, placeOf, type Place } from '../../model/origin.js';
import { formatNumber } from '../../model/quantity.js';
import type { Board, Device } from '../../model/records.js';
import {
  compareNames,
  equipmentOf,
  inletOfOutlet,
  memberKey,
  resolvePowerPoint,
  type PowerPoint,
  type Site,
} from '../../model/site.js';
import type { Bus, Feed } from '../../model/wiring.js';
import { TEXTS } from '../texts.js';
import { sceneFindings, sheetOf } from './from-site.js';
import { markOf } from './places.js';
import type { PlotPoint, PlotScene } from './plot.js';
import type { PowerNode, PowerNodeKind, PowerScene, PowerTap } from './power-scene.js';
import type { SceneFinding } from './scene.js';

export function powerSceneOf(site: Site, findings: readonly Finding[]): PowerScene {
  const roots = new Tree(site).roots();
  const all = nodesOf(roots);
  const ways = all.filter(({ kind }) => kind === 'way').length;
  const supplies = all.filter(({ kind }) => kind === 'supply').length;
  return {
    view: 'power',
    sheet: sheetOf(
      site,
      [TEXTS.power, TEXTS.counts.ways(ways), TEXTS.counts.supplies(supplies)].join(' · '),
    ),
    roots,
    profiles: profilesOf(site),
    findings: findingsOf(site, all, findings),
  };
}

/** Every node of a tree, parents first. */
export function nodesOf(roots: readonly PowerNode[]): readonly PowerNode[] {
  return roots.flatMap((node) => [node, ...nodesOf(node.children)]);
}

class Tree {
  readonly #site: Site;
  /** What stands in the tree already: a second way to it says so and goes no further. */
  readonly #seen = new Set<string>();

  constructor(site: Site) {
    this.#site = site;
  }

  roots(): readonly PowerNode[] {
    const site = this.#site;
    const boards = inOrder(site.boards);
    const fedFrom = (board: Board) => board.from && resolvePowerPoint(site, board.from);
    const roots = boards
      .filter((board) => fedFrom(board) === undefined)
      .map((board) => this.#board(board));
    // What no incomer reaches is drawn all the same: boards in a ring, supplies that nothing feeds.
    for (const board of boards) {
      if (!this.#seen.has(board.name)) roots.push(this.#board(board));
    }
    for (const device of inOrder(site.devices)) roots.push(...this.#passedOn(device, undefined));
    return [...roots, ...this.#unfed()];
  }

  #board(board: Board): PowerNode {
    const isNew = this.#enter(board.name);
    return {
      ...this.#node(
        'board',
        board.name,
        board.name,
        board.title ?? TEXTS.board,
        placeOf(board.name),
      ),
      existing: board.existing,
      children: isNew
        ? board.ways.map((way) =>
            this.#point({ kind: 'way', key: memberKey(board.name, way.name), board, way }),
          )
        : [],
      ...(isNew ? {} : this.#again(board.name)),
    };
  }

  /** A way or outlet with what hangs on it. */
  #point(point: PowerPoint): PowerNode {
    const site = this.#site;
    const isNew = this.#enter(point.key);
    const fact = factOf(site, point.key, 'load');
    const children: PowerNode[] = [];
    const taps: PowerTap[] = [];
    if (isNew) {
      for (const feed of site.feedsFrom.get(point.key) ?? []) children.push(this.#feed(feed));
      const amounts = new Map(loadOf(site, point).parts.map((one) => [one.subject, one.amount]));
      for (const consumer of consumersOf(site, point.key)) {
        if (consumer.kind === 'board') children.push(this.#board(consumer.board));
        else if (consumer.connection.kind === 'line') {
          const { line, device } = consumer.connection;
          this.#inlet(
            device,
            line.inlet,
            this.#tap(device, line.inlet, consumer.at, amounts.get(consumer.subject), fact?.unit),
            children,
            taps,
          );
        }
      }
    }
    const isWay = point.kind === 'way';
    const at = isWay
      ? placeOf(point.board.name, part('way', point.way.name))
      : placeOf(point.device.name);
    const title = isWay ? wayTitle(point) : outletTitle(point);
    return {
      ...this.#node(
        isWay ? 'way' : 'supply',
        point.key,
        isWay ? point.way.name : point.key,
        title,
        at,
      ),
      existing: isWay ? point.way.existing : point.device.existing,
      load: fact && {
        value: typeof fact.value === 'number' ? fact.value : null,
        unit: fact.unit,
        rating: fact.limit,
      },
      ...(isNew ? {} : this.#again(point.key)),
      children,
      taps,
    };
  }

  #feed(feed: Feed): PowerNode {
    const site = this.#site;
    const id = `feed ${feed.name}`;
    const isNew = this.#enter(id);
    const sum = loadOfFeed(site, feed);
    const amounts = new Map(sum?.parts.map((one) => [one.subject, one.amount]));
    const children: PowerNode[] = [];
    const taps: PowerTap[] = [];
    for (const landing of isNew ? feed.landings : []) {
      const at = placeOf(feed.name, part('land', landing.index));
      const subject = memberKey(landing.device, landing.member);
      this.#inlet(
        landing.device,
        landing.member,
        this.#tap(landing.device, landing.member, at, amounts.get(subject), sum?.unit),
        children,
        taps,
      );
    }
    const cable =
      feed.cable === undefined ? '' : (site.cables.get(feed.cable)?.title ?? feed.cable);
    return {
      ...this.#node('feed', id, feed.name, '', placeOf(feed.name)),
      title: [feed.title ?? '', cable].filter((text) => text !== '').join(', '),
      ...(isNew ? {} : this.#again(id)),
      existing: feed.existing,
      load: sum && {
        value: sum.gaps.length > 0 ? null : sum.amount,
        unit: sum.unit,
        rating: undefined,
      },
      children,
      taps,
    };
  }

  /** An inlet is a line of a list, unless its device passes power on; small buses follow as lines of the same list. */
  #inlet(
    name: string,
    inlet: string,
    tap: PowerTap,
    children: PowerNode[],
    taps: PowerTap[],
  ): void {
    const device = this.#site.devices.get(name);
    const passed = device === undefined ? [] : this.#passedOn(device, inlet);
    const large = passed.filter((node) => !isSmall(node));
    if (large.length === 0) taps.push(tap);
    children.push(...large.map((node) => ({ ...node, supplied: tap })));
    for (const node of passed.filter(isSmall)) {
      if (large.length > 0) children.push(node);
      else taps.push(...node.taps.map((one) => ({ ...one, behind: true })));
    }
  }

  /** Outlets and powered buses of a device; those of one inlet, or where `inlet` is undefined what is not drawn yet. */
  #passedOn(device: Device, inlet: string | undefined): PowerNode[] {
    const site = this.#site;
    const equipment = equipmentOf(site, device);
    if (equipment === undefined) return [];
    const outlets = equipment.outlets
      .map((outlet) => ({ outlet, key: memberKey(device.name, outlet.name) }))
      .filter(({ outlet, key }) =>
        inlet === undefined
          ? !this.#seen.has(key)
          : inletOfOutlet(equipment, outlet)?.name === inlet,
      )
      .map(({ outlet, key }) => this.#point({ kind: 'outlet', key, device, equipment, outlet }));
    const buses = equipment.ports
      .filter(({ gives }) => gives !== undefined)
      .flatMap(({ name }) => site.busLandings.get(memberKey(device.name, name)) ?? [])
      .filter(({ run }) => !this.#seen.has(`bus ${run.name}`))
      .flatMap(({ run }) => this.#bus(run));
    return [...outlets, ...buses];
  }

  #bus(bus: Bus): PowerNode[] {
    const site = this.#site;
    const powered = poweredSegmentOf(site, bus);
    const id = `bus ${bus.name}`;
    if (powered === undefined || !this.#enter(id)) return [];
    const takers = new Map(powered.takers.map(({ port, currentA }) => [port.name, currentA]));
    const load = factOf(site, bus.name, 'load');
    return [
      {
        ...this.#node(
          'bus',
          id,
          bus.name,
          [bus.title ?? '', TEXTS.poweredFrom(powered.givers.map(({ port }) => port.name))]
            .filter((text) => text !== '')
            .join(', '),
          placeOf(bus.name),
        ),
        existing: bus.existing,
        load: load && {
          value: typeof load.value === 'number' ? load.value : null,
          unit: load.unit,
          rating: load.limit,
        },
        taps: bus.landings
          .filter(({ device, member }) => takers.has(memberKey(device, member)))
          .map(({ device, member, index }) =>
            this.#tap(
              device,
              member,
              placeOf(bus.name, part('land', index)),
              takers.get(memberKey(device, member)),
              'A',
            ),
          ),
      },
    ];
  }

  /** Inlets that need a supply and have none. */
  #unfed(): PowerNode[] {
    const site = this.#site;
    const taps = inOrder(site.devices).flatMap((device) =>
      (equipmentOf(site, device)?.inlets ?? [])
        .filter(
          ({ name, optional }) =>
            !optional &&
            !connectionsOf(site, device.name, name).some(
              ({ connection }) => pointsOf(site, connection).length > 0,
            ),
        )
        .map(({ name }) =>
          this.#tap(device.name, name, placeOf(device.name), undefined, undefined),
        ),
    );
    return taps.length === 0
      ? []
      : [
          {
            ...this.#node('unfed', 'unfed', TEXTS.unfed, TEXTS.unfedAbout, placeOf('')),
            taps,
          },
        ];
  }

  #tap(
    device: string,
    member: string,
    at: Place,
    amount: number | undefined,
    unit: string | undefined,
  ): PowerTap {
    const name = memberKey(device, member);
    const voltage = voltageAt(this.#site, name);
    return {
      id: name,
      name,
      load: amount === undefined || unit === undefined ? undefined : { value: amount, unit },
      voltage: {
        value: typeof voltage?.value === 'number' ? voltage.value : null,
        leastV: voltage?.limit,
      },
      existing: this.#site.devices.get(device)?.existing ?? false,
      mark: markOf(name, at),
      behind: false,
    };
  }

  #node(kind: PowerNodeKind, id: string, tag: string, title: string, at: Place): PowerNode {
    return {
      id,
      kind,
      tag,
      title,
      existing: false,
      load: undefined,
      supplied: undefined,
      mark: markOf(kind === 'way' ? id : tag, at),
      children: [],
      taps: [],
    };
  }

  /** What says at a second place that the rest stands at the first. */
  #again(id: string): Pick<PowerNode, 'id' | 'title'> {
    return { id: `${id} again`, title: TEXTS.drawnAbove };
  }

  /** False where it is drawn already. */
  #enter(id: string): boolean {
    const isNew = !this.#seen.has(id);
    this.#seen.add(id);
    return isNew;
  }
}

/** A bus with one port on it and nothing to say about its load: a line is enough for it. */
function isSmall({ kind, load, taps }: PowerNode): boolean {
  const ratio = (load?.value ?? Infinity) / (load?.rating ?? 0);
  const isBroken = taps.some(({ voltage }) => (voltage.value ?? 0) < (voltage.leastV ?? 0));
  return kind === 'bus' && taps.length <= 1 && ratio <= 0.8 && !isBroken;
}

function inOrder<Item extends { readonly name: string }>(
  items: ReadonlyMap<string, Item>,
): readonly Item[] {
  return [...items.values()].sort((one, other) => compareNames(one.name, other.name));
}

function wayTitle({ way }: PowerPoint & { readonly kind: 'way' }): string {
  return [
    way.title ?? '',
    way.ratedA === undefined ? '' : `${formatNumber(way.ratedA)} A ${way.curve ?? ''}`.trim(),
    way.voltage === undefined
      ? ''
      : `${formatNumber(way.voltage.volts)} V${way.threePhase ? ' 3~' : ''}`,
  ]
    .filter((text) => text !== '')
    .join(' · ');
}

function outletTitle({ device, equipment, outlet }: PowerPoint & { readonly kind: 'outlet' }) {
  const { voltage } = outlet;
  return [
    device.title ?? equipment.title ?? equipment.name,
    voltage === undefined
      ? ''
      : `${formatNumber(voltage.volts)} V ${voltage.kind?.toUpperCase() ?? ''}`.trim(),
  ]
    .filter((text) => text !== '')
    .join(' · ');
}

/** A plot for each feed, and for each powered bus that has more to show than its two ends; by name. */
function profilesOf(site: Site): PlotScene[] {
  return [...inOrder(site.feeds), ...inOrder(site.buses)].flatMap((run) => {
    const places = voltageProfile(site, run);
    const lines = places.flatMap((place): PlotPoint[][] => {
      const start = place.before === undefined ? sourceOf(place) : pointOf(places[place.before]);
      const end = pointOf(place);
      return start === undefined || end === undefined ? [] : [[start, end]];
    });
    const isBroken = places.some(
      ({ voltage }) => typeof voltage?.value === 'number' && voltage.value < (voltage.limit ?? 0),
    );
    if (lines.length === 0 || (run.kind === 'bus' && places.length <= 2 && !isBroken)) return [];
    const limits = places.flatMap(({ voltage }) => voltage?.limit ?? []);
    return [
      {
        title: TEXTS.profile.title(TEXTS.runKinds[run.kind], run.name),
        across: { title: TEXTS.profile.across, unit: 'm' },
        up: { title: TEXTS.profile.up, unit: 'V' },
        lines,
        least: limits.length === 0 ? undefined : Math.max(...limits),
        leastTitle: TEXTS.profile.least,
      },
    ];
  });
}

function pointOf(place: ProfilePlace | undefined): PlotPoint | undefined {
  return place?.distanceM === undefined || typeof place.voltage?.value !== 'number'
    ? undefined
    : { across: place.distanceM, up: place.voltage.value, name: place.name };
}

/** The outlet at the beginning of a feed; undefined where its own resistance makes its voltage another one. */
function sourceOf({ voltage, distanceM }: ProfilePlace): PlotPoint | undefined {
  const open = voltage?.terms.find(({ name }) => name.startsWith('voltage of '));
  const isStiff = voltage?.terms.every(
    ({ name, unit }) => !(name.startsWith('R of ') && unit === 'ohm'),
  );
  return typeof open?.value === 'number' && isStiff === true && (distanceM ?? 0) > 0
    ? { across: 0, up: open.value, name: open.name.slice('voltage of '.length) }
    : undefined;
}

/** Findings of what the tree shows: by the thing they are about, then by the line at which they stand. */
function findingsOf(
  site: Site,
  nodes: readonly PowerNode[],
  findings: readonly Finding[],
): SceneFinding[] {
  const byName = new Map<string, string>();
  const byPlace = new Map<string, string>();
  const note = ({ id, mark }: Pick<PowerNode, 'id' | 'mark'>, names: readonly string[]) => {
    for (const name of names) if (!byName.has(name)) byName.set(name, id);
    if (!byPlace.has(mark.place)) byPlace.set(mark.place, id);
  };
  for (const node of nodes) {
    // A bus has findings of many kinds, of which only those about power belong here.
    if (node.kind === 'bus') continue;
    note(node, node.kind === 'feed' ? [node.tag] : [node.id]);
    for (const tap of node.taps) note(tap, [tap.id]);
    if (node.supplied) byName.set(node.supplied.id, byName.get(node.supplied.id) ?? node.id);
  }
  const taps = new Map(nodes.flatMap(({ taps }) => taps.map((tap) => [tap.id, tap.id])));
  return sceneFindings(site, [], findings).flatMap((finding): SceneFinding[] => {
    const isOfBus = site.buses.has(finding.subject);
    const id = isOfBus
      ? POWER_RULES_OF_BUSES.has(finding.rule) &&
        nodes.some((node) => node.id === `bus ${finding.subject}`)
        ? `bus ${finding.subject}`
        : undefined
      : (byName.get(finding.subject) ??
        (site.byName.get(finding.subject) === undefined
          ? byPlace.get(finding.mark.place)
          : undefined));
    const shown = id ?? taps.get(finding.subject);
    return shown === undefined ? [] : [{ ...finding, at: { kind: 'node', id: shown } }];
  });
}

const POWER_RULES_OF_BUSES = new Set([
  'bus-power-overloaded',
  'bus-power-undervoltage',
  'bus-source-missing',
  'bus-source-duplicate',
  'voltage-collapse',
]);
