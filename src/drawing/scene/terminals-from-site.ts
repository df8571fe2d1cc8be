/** The site model → terminals scene of one bus or feed: strips, cables, cores. */
import { terminationOf } from '../../analysis/bus/termination.js';
import {
  cablesOfRun,
  endName,
  type CableEnd,
  type SiteCable,
} from '../../analysis/cabling/cables.js';
import {
  coresOf,
  isProtectiveTerminal,
  type CoreConnection,
  type ScreenTreatment,
} from '../../analysis/cabling/cores.js';
import type { Finding } from '../../model/finding.js';
import { part, placeOf, type Place } from '../../model/origin.js';
import { formatNumber, sizeText } from '../../model/quantity.js';
import { memberKey, resolveInlet, roomOf, type Site } from '../../model/site.js';
import type { Bus, Feed, Landing } from '../../model/wiring.js';
import { TEXTS } from '../texts.js';
import { anchorOf } from './anchors.js';
import { runOf, sheetOf } from './from-site.js';
import { markOf } from './places.js';
import type {
  SceneAnchor,
  SceneCable,
  SceneCore,
  SceneFinding,
  SceneStrip,
  SceneTerminal,
  TerminalsScene,
} from './scene.js';

/** The wiring of a bus or feed; undefined where there is none of that name. */
export function terminalsSceneOf(
  site: Site,
  name: string,
  findings: readonly Finding[],
): TerminalsScene | undefined {
  const run = site.buses.get(name) ?? site.feeds.get(name);
  if (run === undefined) return undefined;
  const cables = cablesOfRun(site, run);
  const strips = stripsOf(site, run, cables);
  const sceneCables = cables.map((cable) => sceneCable(site, cable));
  const found = findingsOfRun(site, run, strips, cables, findings);
  return {
    view: 'terminals',
    sheet: sheetOf(site, subtitle(run, strips.length)),
    run: run.name,
    strips,
    cables: sceneCables,
    findings: found,
  };
}

function subtitle(run: Bus | Feed, strips: number): string {
  const title = run.title === undefined ? run.name : `${run.name}, ${run.title}`;
  return [TEXTS.terminals, TEXTS.runKinds[run.kind], title, TEXTS.counts.strips(strips)].join(
    ' · ',
  );
}

/** Every strip of the run once, in the order of the run: the outlet of a feed first. */
function stripsOf(site: Site, run: Bus | Feed, cables: readonly SiteCable[]): SceneStrip[] {
  const ends = new Map<string, CableEnd>();
  const add = (end: CableEnd) => {
    if (!ends.has(endName(end))) ends.set(endName(end), end);
  };
  const inOrder = cables.flatMap((cable) => [cable.from, cable.to]);
  for (const end of inOrder) if (end.landing === undefined && isSource(run, end)) add(end);
  for (const landing of run.landings) {
    const own = memberKey(landing.device, landing.member);
    const end = inOrder.find((one) => endName(one) === own && one.landing !== undefined);
    add(end ?? loneEnd(site, run, landing));
  }
  for (const end of inOrder) add(end);
  return [...ends.values()].map((end) => sceneStrip(site, run, end, cables));
}

function isSource(run: Bus | Feed, end: CableEnd): boolean {
  return run.kind === 'feed' && end.owner === run.from.owner && end.member === run.from.member;
}

/** A landing that no cable reaches is shown all the same. */
function loneEnd(site: Site, run: Bus | Feed, landing: Landing): CableEnd {
  const device = site.devices.get(landing.device);
  return {
    kind: run.kind === 'bus' ? 'port' : 'inlet',
    owner: landing.device,
    member: landing.member,
    terminals: [],
    room: device && roomOf(site, device),
    landing,
  };
}

function sceneStrip(
  site: Site,
  run: Bus | Feed,
  end: CableEnd,
  cables: readonly SiteCable[],
): SceneStrip {
  const name = endName(end);
  const landings = run.landings.filter(
    (landing) => memberKey(landing.device, landing.member) === name,
  );
  const device = site.devices.get(end.owner);
  const terminator = terminatorOf(site, run, landings);
  return {
    id: name,
    tag: end.owner,
    detail: [
      end.room?.room.title ?? end.room?.room.name ?? '',
      end.member,
      addressText(site, run, end),
    ]
      .filter((text) => text !== '')
      .join(' · '),
    existing: device?.existing ?? site.boards.get(end.owner)?.existing ?? false,
    terminals: terminalsOf(site, end, cables),
    terminator: terminator.state,
    terminatorText: terminator.text,
    cover: coverOf(site, run, end, landings),
    mark: markOf(name, stripPlace(run, end, landings)),
  };
}

function stripPlace(run: Bus | Feed, end: CableEnd, landings: readonly Landing[]): Place {
  const first = landings[0];
  if (first) return placeOf(run.name, part('land', first.index));
  return isSource(run, end) ? placeOf(run.name, 'from') : placeOf(end.owner);
}

function addressText(site: Site, run: Bus | Feed, end: CableEnd): string {
  // A device's address holds on its addressed buses only.
  if (run.kind !== 'bus' || site.busTypes.get(run.busType)?.addresses === undefined) return '';
  const addresses = site.devices.get(end.owner)?.addresses ?? [];
  const line =
    addresses.find((one) => one.port === end.member) ??
    addresses.find((one) => one.port === undefined);
  return line === undefined ? '' : TEXTS.addresses([String(line.address)]);
}

/** The strip's own terminals, those that cores name there, and the screen. */
function terminalsOf(site: Site, end: CableEnd, cables: readonly SiteCable[]): SceneTerminal[] {
  const name = endName(end);
  const names = [...end.terminals];
  let screen: ScreenTreatment | undefined;
  for (const cable of cables) {
    for (const core of coresOf(site, cable)) {
      for (const { own, terminal, treatment } of [
        { own: cable.from, terminal: core.fromTerminal, treatment: core.fromScreen },
        { own: cable.to, terminal: core.toTerminal, treatment: core.toScreen },
      ]) {
        if (endName(own) !== name) continue;
        if (core.kind === 'screen') screen = strongerScreen(screen, treatment);
        else if (terminal !== undefined && !names.includes(terminal)) names.push(terminal);
      }
    }
  }
  const terminals = names.map((terminal): SceneTerminal => ({
    id: terminalId(terminal),
    name: terminal,
    kind: isProtectiveTerminal(terminal)
      ? 'protective-earth'
      : end.kind === 'port'
        ? 'signal'
        : 'power',
    screen: 'none',
  }));
  if (screen === undefined) return terminals;
  return [
    ...terminals,
    {
      id: SCREEN_ID,
      name: end.screenTerminal ?? '',
      kind: 'screen',
      screen: end.landing?.bonded === true ? 'bonded' : screen,
    },
  ];
}

const SCREEN_ID = 'screen';
const terminalId = (name: string) => `terminal ${name}`;

const SCREEN_STRENGTH: readonly ScreenTreatment[] = [
  'insulated',
  'carried-through',
  'landed',
  'bonded',
];

function strongerScreen(
  one: ScreenTreatment | undefined,
  other: ScreenTreatment | undefined,
): ScreenTreatment {
  const strength = (treatment: ScreenTreatment | undefined) =>
    treatment === undefined ? -1 : SCREEN_STRENGTH.indexOf(treatment);
  return (strength(one) >= strength(other) ? one : other) ?? 'insulated';
}

function terminatorOf(
  site: Site,
  run: Bus | Feed,
  landings: readonly Landing[],
): { readonly state: SceneStrip['terminator']; readonly text: string } {
  if (run.kind !== 'bus') return { state: 'none', text: '' };
  const { terminators, missing, misplaced } = terminationOf(site, run);
  const isHere = (one: { readonly bus: Bus; readonly landing: Landing }) =>
    one.bus === run && landings.some((landing) => landing.index === one.landing.index);
  const own = terminators.find(({ landing }) => isHere(landing));
  if (own) return { state: 'fitted', text: ohmText(own.resistanceOhm) };
  const isBare = [...missing, ...misplaced.map(({ end }) => end)].some(isHere);
  if (!isBare) return { state: 'none', text: '' };
  return { state: 'missing', text: ohmText(site.busTypes.get(run.busType)?.terminate?.ohm) };
}

function ohmText(ohm: number | undefined): string {
  return ohm === undefined ? '' : `${formatNumber(ohm)} Ω`;
}

function coverOf(
  site: Site,
  run: Bus | Feed,
  end: CableEnd,
  landings: readonly Landing[],
): SceneStrip['cover'] {
  if (landings.some((landing) => landing.covered)) return 'fitted';
  const isExposed =
    run.kind === 'feed' && resolveInlet(site, end.owner, end.member)?.inlet.exposed === true;
  return isExposed ? 'missing' : 'none';
}

function sceneCable(site: Site, cable: SiteCable): SceneCable {
  const isSpur = cable.to.landing?.spur !== undefined;
  return {
    id: cable.id,
    from: endName(cable.from),
    to: endName(cable.to),
    name: cable.id,
    construction: constructionOf(cable),
    length:
      cable.lengthM === null
        ? null
        : { metres: cable.lengthM, estimated: cable.lengthBasis === 'estimated' },
    kind: cable.closesRing ? 'ring' : isSpur ? 'spur' : 'main',
    existing: cable.existing,
    cores: coresOf(site, cable).map((core, index) => sceneCore(cable, core, index)),
    mark: markOf(cable.id, cable.at),
  };
}

function constructionOf({ cable, cableName }: SiteCable): string {
  if (cable?.cores === undefined) return cableName ?? TEXTS.cableNotStated;
  const { count, size } = cable.cores;
  return `${count} × ${sizeText(size).replace('mm2', 'mm²')}${cable.screened ? ` + ${TEXTS.screen}` : ''}`;
}

function sceneCore(cable: SiteCable, core: CoreConnection, index: number): SceneCore {
  const isScreen = core.kind === 'screen';
  const end = (terminal: string | undefined) =>
    isScreen ? SCREEN_ID : terminal === undefined ? undefined : terminalId(terminal);
  const from = end(core.fromTerminal);
  const to = end(core.toTerminal);
  return {
    id: `${cable.id}/${index}`,
    ...(from === undefined ? {} : { fromTerminal: from }),
    ...(to === undefined ? {} : { toTerminal: to }),
    colour: core.core,
    wireNumber: core.wireNumber,
    kind: coreKind(cable, core),
  };
}

function coreKind(cable: SiteCable, core: CoreConnection): SceneCore['kind'] {
  switch (core.kind) {
    case 'conductor':
      return cable.duty === 'bus' ? 'signal' : 'power';
    case 'core-missing':
      return 'missing';
    case 'protective-earth':
    case 'screen':
    case 'spare':
      return core.kind;
  }
}

/** Findings of the run itself and of the devices on it; those of other things are not shown here. */
function findingsOfRun(
  site: Site,
  run: Bus | Feed,
  strips: readonly SceneStrip[],
  cables: readonly SiteCable[],
  findings: readonly Finding[],
): SceneFinding[] {
  const sceneRun = runOf(site, run);
  const stripOfLanding = (id: string) => {
    const landing = sceneRun.landings.find((one) => one.id === id);
    return landing && memberKey(landing.owner.id, landing.member);
  };
  const cableOfSegment = (id: string) => {
    const segment = sceneRun.segments.find((one) => one.id === id);
    return cables.find((cable) => segment && markOf('', cable.at).place === segment.mark.place)?.id;
  };
  const anchor = (finding: Finding): SceneAnchor | undefined => {
    const at = anchorOf(site, [sceneRun], finding);
    if (finding.at.declaration === run.name) {
      if (at.kind === 'landing') {
        return { kind: 'landing', runId: run.name, id: stripOfLanding(at.id) ?? '' };
      }
      if (at.kind === 'segment') {
        return { kind: 'segment', runId: run.name, id: cableOfSegment(at.id) ?? '' };
      }
      return { kind: 'sheet' };
    }
    if (at.kind !== 'device') return undefined;
    const strip = strips.find(
      (one) => one.tag === at.id && (finding.subject === at.id || finding.subject === one.id),
    );
    return strip && { kind: 'landing', runId: run.name, id: strip.id };
  };
  return findings.flatMap((finding, index): SceneFinding[] => {
    if (finding.waived !== null) return [];
    const at = anchor(finding);
    if (at === undefined) return [];
    return [
      {
        key: String(index),
        severity: finding.severity,
        rule: finding.rule,
        subject: finding.subject,
        message: [finding.what, finding.remedy].filter((text) => text !== '').join(' '),
        mark: markOf(finding.subject, finding.at),
        at,
      },
    ];
  });
}
