/**
 * What would be seen on a site with faults in it.
 *
 * Who is alive, who hears whom and where voltage is comes from the network of what works through what;
 * what a meter reads comes from the circuits of the changed site. Only what the faults touch is
 * computed anew.
 */
import { equipmentOf, memberKey, resolveInlet } from '../../model/site.js';
import type { Site } from '../../model/site.js';
import type { Bus, Feed } from '../../model/wiring.js';
import { segmentOf } from '../bus/segment.js';
import { ImpactBuilder } from '../graph/impact-network.js';
import type { JointFailures, NodeId } from '../graph/single-failures.js';
import { memoised } from '../memo.js';
import { poweredSegmentOf } from '../power/bus-load.js';
import { inletStatesOf, minimumAt, voltagesOfBus, voltagesOfFeed } from '../power/voltages.js';
import { changedSite, partAround } from './changed-site.js';
import { faultKey, laptopElement, mannersOf } from './fault.js';
import type { Fault, Manner } from './fault.js';
import { findersOf, lookKey, looksOf, reading, sightText, UNKNOWN } from './look.js';
import type { Look, Sight } from './look.js';
import { pairReadingsOf } from './pair-readings.js';

/** How a combination of faults shows itself in one case: only what differs from the intact site, by look. */
export type Picture = ReadonlyMap<string, Sight>;

/** The predictor of a site, made once. */
export const predictorOf: (site: Site) => Predictor = (site) => keptPredictor(site, site);

const keptPredictor = memoised((site, _whole: Site) => new Predictor(site));

export class Predictor {
  readonly looks: readonly Look[];
  readonly #site: Site;
  readonly #failures: JointFailures;
  readonly #supplied = new Map<NodeId, string>();
  readonly #unitAt = new Map<NodeId, { readonly look: string; readonly unit: string }[]>();
  readonly #placeAt = new Map<NodeId, Extract<Look, { kind: 'voltage' | 'page' }>[]>();
  readonly #intact = new Map<string, Sight>();
  readonly #voltageLooks = new Set<string>();
  readonly #pairs = new Map<string, Picture>();
  readonly #singles = new Map<string, readonly Picture[]>();

  constructor(site: Site) {
    this.#site = site;
    this.looks = looksOf(site);
    const builder = new ImpactBuilder(site, 'landings');
    for (const device of site.devices.values()) {
      this.#supplied.set(builder.supplied(device), device.name);
    }
    for (const { device, units, relays } of findersOf(site)) {
      const look = lookKey({ kind: 'units', controller: device.name });
      for (const [unit, node] of builder.foundBy(device, units, relays)) {
        push(this.#unitAt, node, { look, unit });
      }
    }
    for (const look of this.looks) {
      if (look.kind === 'voltage' || look.kind === 'page') {
        const node = nodeOfPlace(site, builder, look);
        if (node !== undefined) {
          push(this.#placeAt, node, look);
        }
      }
    }
    this.#failures = builder.together();
    for (const look of this.looks) {
      this.#intact.set(lookKey(look), this.#intactSight(look));
      if (look.kind === 'voltage') {
        this.#voltageLooks.add(look.at);
      }
    }
  }

  /** What is seen while nothing is wrong. */
  intact(look: string): Sight {
    return this.#intact.get(look) ?? UNKNOWN;
  }

  /** The pictures that faults together may give; several where one of them may show itself so or so. */
  pictures(faults: readonly Fault[]): readonly Picture[] {
    const [single, ...others] = faults;
    if (single === undefined || others.length > 0) {
      return this.#picturesOf(faults);
    }
    const key = faultKey(single);
    const known = this.#singles.get(key) ?? this.#picturesOf(faults);
    this.#singles.set(key, known);
    return known;
  }

  #picturesOf(faults: readonly Fault[]): readonly Picture[] {
    const manners = faults.reduce<readonly Manner[]>(
      (all, fault) =>
        all.flatMap((before) =>
          mannersOf(this.#site, fault).map((manner) => ({
            elements: [...before.elements, ...manner.elements],
            low: [...before.low, ...manner.low],
          })),
        ),
      [{ elements: [], low: [] }],
    );
    return manners.map((manner) => this.#picture(faults, manner));
  }

  #picture(faults: readonly Fault[], { elements, low }: Manner): Picture {
    const lost = this.#failures.lostWith(elements);
    const dark =
      low.length === 0
        ? lost
        : this.#failures.lostWith(elements.filter((element) => !low.includes(element)));
    const changes = new Map<string, Sight>();
    const missing = new Map<string, Set<string>>();
    const dead = new Set(
      faults.flatMap((fault) => (fault.kind === 'device-dead' ? [fault.device] : [])),
    );
    for (const node of lost) {
      const device = this.#supplied.get(node);
      if (device !== undefined) {
        dead.add(device);
      }
      for (const { look, unit } of this.#unitAt.get(node) ?? []) {
        const units = missing.get(look) ?? new Set(this.#missingIntact(look));
        units.add(unit);
        missing.set(look, units);
      }
      for (const look of this.#placeAt.get(node) ?? []) {
        changes.set(lookKey(look), this.#lostSight(look, dark.has(node)));
      }
    }
    missing.forEach((units, look) => changes.set(look, { kind: 'missing', units }));
    for (const look of this.looks) {
      if (look.kind === 'page' && elements.includes(laptopElement(look.network))) {
        changes.set(lookKey(look), { kind: 'page', opens: false });
      }
    }
    this.#pairChanges(faults, dead).forEach((sight, look) => this.#note(changes, look, sight));
    this.#voltageChanges(faults, dead, lost).forEach((sight, look) => {
      if (!changes.has(look)) {
        this.#note(changes, look, sight);
      }
    });
    this.#swapVoltages(faults, changes);
    return changes;
  }

  /** Keeps only what people could tell from the intact site. */
  #note(changes: Map<string, Sight>, look: string, sight: Sight): void {
    if (sightText(sight) !== sightText(this.intact(look))) {
      changes.set(look, sight);
    }
  }

  #missingIntact(look: string): ReadonlySet<string> {
    const sight = this.intact(look);
    return sight.kind === 'missing' ? sight.units : new Set();
  }

  #intactSight(look: Look): Sight {
    switch (look.kind) {
      case 'units': {
        const key = lookKey(look);
        const missing = new Set<string>();
        for (const [node, units] of this.#unitAt) {
          if (!this.#failures.works(node)) {
            units.filter((one) => one.look === key).forEach(({ unit }) => missing.add(unit));
          }
        }
        return { kind: 'missing', units: missing };
      }
      case 'ohm':
      case 'idle':
        return pairReadingsOf(this.#site, this.#site.buses.get(look.bus)!)[look.kind].get(
          look.port,
        )!;
      case 'voltage':
        return voltageAt(this.#site, look) ?? nominalRange(this.#site, look);
      case 'page':
        return { kind: 'page', opens: true };
    }
  }

  /** Some voltage, but not enough, where only a low one is to blame; else none. */
  #lostSight(look: Extract<Look, { kind: 'voltage' | 'page' }>, isDark: boolean): Sight {
    if (look.kind === 'page') {
      return { kind: 'page', opens: false };
    }
    return isDark ? reading(0) : lowRange(this.#site, look, this.intact(lookKey(look)));
  }

  // ---- pairs -------------------------------------------------------------------------------------

  #pairChanges(faults: readonly Fault[], dead: ReadonlySet<string>): Picture {
    const leads = new Map<string, Bus>();
    const touch = (bus: Bus | undefined): void => {
      if (bus !== undefined) {
        const { lead } = segmentOf(this.#site, bus);
        leads.set(lead.name, lead);
      }
    };
    for (const fault of faults) {
      if (
        fault.kind === 'terminator-missing' ||
        fault.kind === 'terminator-extra' ||
        fault.kind === 'pair-swapped'
      ) {
        touch(this.#site.buses.get(fault.at.bus));
      } else if (fault.kind === 'segment-cut' && fault.at.of === 'run') {
        touch(this.#site.buses.get(fault.at.run));
      }
    }
    for (const device of dead) {
      for (const { run, landing } of this.#site.busLandingsOfDevice.get(device) ?? []) {
        const record = this.#site.devices.get(device);
        const ports = (record && equipmentOf(this.#site, record)?.ports) ?? [];
        if (ports.some(({ name, bias }) => name === landing.member && bias !== undefined)) {
          touch(run);
        }
      }
    }
    const changes = new Map<string, Sight>();
    for (const lead of leads.values()) {
      this.#pairsOf(lead, faults, dead).forEach((sight, look) => changes.set(look, sight));
    }
    return changes;
  }

  #pairsOf(lead: Bus, faults: readonly Fault[], dead: ReadonlySet<string>): Picture {
    const { buses, landings, busType } = segmentOf(this.#site, lead);
    if (busType?.signal?.kind !== 'rs485') {
      return new Map();
    }
    const names = new Set(buses.map(({ name }) => name));
    const own = faults.filter((fault) => isAbout(fault, names));
    const devices = [...new Set(landings.map(({ landing }) => landing.device))];
    const silent = devices.filter((device) => dead.has(device));
    const key = JSON.stringify([lead.name, own, silent]);
    const known = this.#pairs.get(key);
    if (known !== undefined) {
      return known;
    }
    const changed = changedSite(this.#site, own, dead, { runs: [...names], devices });
    const seen = new Map<string, Sight>();
    const reversed = new Set(
      landings
        .filter(({ bus, landing }) =>
          own.some(
            (fault) =>
              fault.kind === 'pair-swapped' &&
              fault.at.bus === bus.name &&
              fault.at.index === landing.index,
          ),
        )
        .map(({ name }) => name),
    );
    for (const bus of changed.buses.values()) {
      const segment = segmentOf(changed, bus);
      if (segment.lead !== bus) {
        continue;
      }
      const { ohm, idle } = pairReadingsOf(changed, bus);
      const biased = segment.ports.filter(({ resolved }) => resolved.port.bias !== undefined);
      const turned = biased.filter(({ name }) => reversed.has(name)).length;
      ohm.forEach((sight, port) => seen.set(`ohm ${port}`, sight));
      idle.forEach((sight, port) => {
        seen.set(`idle ${port}`, polarised(sight, turned, biased.length, reversed.has(port)));
      });
    }
    const kept = new Map([...seen].filter(([look]) => this.#intact.has(look)));
    this.#pairs.set(key, kept);
    return kept;
  }

  // ---- voltages ----------------------------------------------------------------------------------

  /** Where a circuit lost a cable or a load, the voltages that are left. */
  #voltageChanges(
    faults: readonly Fault[],
    dead: ReadonlySet<string>,
    lost: ReadonlySet<NodeId>,
  ): Picture {
    const changes = new Map<string, Sight>();
    if (lost.size === 0 && dead.size === 0) {
      return changes;
    }
    const feeds = new Map<string, Feed>();
    const buses = new Map<string, Bus>();
    for (const fault of faults) {
      if (fault.kind === 'segment-cut' && fault.at.of === 'run') {
        const { run } = fault.at;
        const feed = this.#site.feeds.get(run);
        const bus = this.#site.buses.get(run);
        if (feed !== undefined) {
          feeds.set(run, feed);
        } else if (bus !== undefined && poweredSegmentOf(this.#site, bus) !== undefined) {
          buses.set(run, bus);
        }
      }
    }
    for (const device of dead) {
      for (const { run } of this.#site.feedLandingsOfDevice.get(device) ?? []) {
        feeds.set(run.name, run);
      }
      for (const { run } of this.#site.busLandingsOfDevice.get(device) ?? []) {
        if (poweredSegmentOf(this.#site, run) !== undefined) {
          buses.set(run.name, run);
        }
      }
    }
    for (const feed of feeds.values()) {
      const changed = changedSite(this.#site, faults, dead, partAround(this.#site, feed));
      for (const one of changed.feeds.values()) {
        this.#take(changes, voltagesOfFeed(changed, one));
      }
    }
    for (const bus of buses.values()) {
      const { buses: joined, landings } = segmentOf(this.#site, bus);
      const changed = changedSite(this.#site, faults, dead, {
        runs: joined.map(({ name }) => name),
        devices: landings.map(({ landing }) => landing.device),
      });
      for (const one of changed.buses.values()) {
        this.#take(changes, voltagesOfBus(changed, one));
      }
    }
    return changes;
  }

  #take(
    changes: Map<string, Sight>,
    voltages: readonly { readonly subject: string; readonly voltageV: number }[],
  ): void {
    for (const { subject, voltageV } of voltages) {
      if (this.#voltageLooks.has(subject)) {
        changes.set(`voltage ${subject}`, reading(voltageV));
      }
    }
  }

  /** A pair that is swapped on a powered bus gives its device the voltage the wrong way round. */
  #swapVoltages(faults: readonly Fault[], changes: Map<string, Sight>): void {
    for (const fault of faults) {
      if (fault.kind !== 'pair-swapped') {
        continue;
      }
      const bus = this.#site.buses.get(fault.at.bus);
      const landing = bus?.landings[fault.at.index];
      const powered = bus && poweredSegmentOf(this.#site, bus);
      if (landing === undefined || powered === undefined) {
        continue;
      }
      const own = memberKey(landing.device, landing.member);
      const isGiver = powered.givers.some(({ port }) => port.name === own);
      const isOnlyGiver = isGiver && powered.givers.length === 1;
      const reversed = isGiver ? powered.takers.map(({ port }) => port.name) : [own];
      for (const at of reversed) {
        const look = `voltage ${at}`;
        const sight = this.intact(look);
        if (this.#voltageLooks.has(at) && sight.kind === 'reading') {
          // Two sources against each other: what is left of either nobody can tell.
          changes.set(look, isGiver && !isOnlyGiver ? UNKNOWN : reading(-sight.high, -sight.low));
        }
      }
    }
  }
}

/** The faults that change the circuit of a segment. */
function isAbout(fault: Fault, buses: ReadonlySet<string>): boolean {
  switch (fault.kind) {
    case 'segment-cut':
      return fault.at.of === 'run' && buses.has(fault.at.run);
    case 'terminator-missing':
    case 'terminator-extra':
    case 'pair-swapped':
      return buses.has(fault.at.bus);
    default:
      return false;
  }
}

/** With all biases turned round the line idles the wrong way; with some of them nobody can tell. */
function polarised(sight: Sight, turned: number, biases: number, isReversed: boolean): Sight {
  if (sight.kind !== 'reading') {
    return sight;
  }
  if (turned > 0 && turned < biases) {
    return UNKNOWN;
  }
  return turned > 0 === isReversed ? sight : reading(-sight.high, -sight.low);
}

function nodeOfPlace(
  site: Site,
  builder: ImpactBuilder,
  look: Extract<Look, { kind: 'voltage' | 'page' }>,
): NodeId | undefined {
  const name = look.kind === 'page' ? look.host : look.at;
  const cut = name.lastIndexOf('.');
  const device = site.devices.get(name.slice(0, cut));
  const member = name.slice(cut + 1);
  if (device === undefined) {
    return undefined;
  }
  if (look.kind === 'page') {
    const network = site.networks.get(look.network);
    const host = network?.hosts.find((one) => one.device === device.name && one.lan === member);
    return network && host && builder.page(network, host.index, device);
  }
  const inlet = resolveInlet(site, device.name, member)?.inlet;
  return inlet === undefined ? builder.portLive(device, member) : builder.inletLive(device, inlet);
}

type VoltageLook = Extract<Look, { kind: 'voltage' }>;

function voltageAt(site: Site, { at, by }: VoltageLook): Sight | undefined {
  if (by === 'bus') {
    const runs = site.busLandings.get(at) ?? [];
    const found = runs.flatMap(({ run }) =>
      voltagesOfBus(site, run).filter(({ subject }) => subject === at),
    )[0];
    return found && reading(found.voltageV);
  }
  const device = site.devices.get(at.slice(0, at.lastIndexOf('.')));
  const state = (device === undefined ? [] : inletStatesOf(site, device)).find(
    ({ consumer, voltage }) => consumer.subject === at && voltage !== undefined,
  );
  return state?.voltage && reading(state.voltage.voltageV);
}

/** Part of the nominal within which a supply counts as right where nothing else is stated, in %. */
const USUAL_TOLERANCE_PERCENT = 10;

function nominalOf(site: Site, { at, by }: VoltageLook): number | undefined {
  const cut = at.lastIndexOf('.');
  if (by === 'inlet') {
    return resolveInlet(site, at.slice(0, cut), at.slice(cut + 1))?.inlet.voltage?.volts;
  }
  const run = site.busLandings.get(at)?.[0]?.run;
  return run && site.busTypes.get(run.busType)?.power?.nominal.volts;
}

/** What is expected where cables are not stated: about the nominal (common practice). */
function nominalRange(site: Site, look: VoltageLook): Sight {
  const volts = nominalOf(site, look);
  if (volts === undefined) {
    return UNKNOWN;
  }
  const cut = look.at.lastIndexOf('.');
  const inlet = resolveInlet(site, look.at.slice(0, cut), look.at.slice(cut + 1))?.inlet;
  const part = (inlet?.tolerancePercent ?? USUAL_TOLERANCE_PERCENT) / 100;
  return reading(volts * (1 - part), volts * (1 + part));
}

/** More than stray voltage, less than the device needs. */
function lowRange(site: Site, look: VoltageLook, intact: Sight): Sight {
  const volts = nominalOf(site, look) ?? (intact.kind === 'reading' ? intact.high : undefined);
  if (volts === undefined) {
    return UNKNOWN;
  }
  const run = site.busLandings.get(look.at)?.[0]?.run;
  const least =
    (look.by === 'inlet'
      ? minimumAt(site, look.at)
      : run && site.busTypes.get(run.busType)?.power?.minimumVolts) ??
    volts * (1 - USUAL_TOLERANCE_PERCENT / 100);
  return reading(volts * STRAY_PART, least);
}

/** Part of the nominal up to which a reading may be picked up from the cables beside (common practice). */
const STRAY_PART = 0.1;

function push<Key, Value>(map: Map<Key, Value[]>, key: Key, value: Value): void {
  const list = map.get(key);
  if (list === undefined) {
    map.set(key, [value]);
  } else {
    list.push(value);
  }
}
