/** Why a site was seen otherwise than it is written, with places and words for people. */
import { bandOf } from '../analysis/cabling/cables.js';
import { diagnosisOf, type CandidateGroup, type Verdict } from '../analysis/diagnosis/diagnosis.js';
import type { AnyObserved } from '../analysis/diagnosis/evidence.js';
import type { CableAt, Fault } from '../analysis/diagnosis/fault.js';
import type { Look, Sight } from '../analysis/diagnosis/look.js';
import type { NextLook } from '../analysis/diagnosis/next-look.js';
import { segmentsOf, type SegmentEnd } from '../analysis/run.js';
import type { Bus, Feed } from '../model/wiring.js';
import {
  buildSite,
  compareNames,
  memberKey,
  resolveInlet,
  resolvePort,
  roomOf,
} from '../model/site.js';
import type { Site } from '../model/site.js';
import {
  DIAGNOSIS_CAUTION,
  faultText,
  LOOK_CAUTIONS,
  lookText,
  seeingText,
} from './diagnosis-texts.js';
import { observationText } from './observation-lines.js';
import type { OpenSite } from './open-site.js';

export type { Fault } from '../analysis/diagnosis/fault.js';
export type { Verdict } from '../analysis/diagnosis/diagnosis.js';

/** What to look at: a controller, a port, an inlet or a host, and between what. */
export interface LookAt {
  readonly kind: Look['kind'];
  readonly at: string;
  /** Terminals, or the address of the page. */
  readonly between: string;
}

export type Seeing =
  | { readonly kind: 'missing'; readonly units: readonly string[] }
  /** `high` is null where it is open upwards. */
  | {
      readonly kind: 'reading';
      readonly low: number;
      readonly high: number | null;
      readonly unit: string;
    }
  | { readonly kind: 'page'; readonly opens: boolean };

export interface DiagnosedFault {
  readonly kinds: readonly Fault['kind'][];
  readonly text: string;
  /** The rooms to go to; undefined where none is stated. */
  readonly where: string | undefined;
  readonly likelihood: number;
}

/** Faults that nothing on the site tells apart. */
export interface DiagnosedGroup {
  readonly rank: number;
  readonly share: number;
  readonly explains: number;
  readonly contradicted: readonly string[];
  readonly faults: readonly DiagnosedFault[];
}

export interface NextStep {
  readonly look: LookAt;
  readonly text: string;
  /** Room and area; undefined where not stated. */
  readonly where: string | undefined;
  readonly caution: string;
  readonly expectedLeft: number;
  readonly outcomes: readonly {
    readonly seen: string;
    readonly seeing: Seeing;
    /** Ranks. */
    readonly groups: readonly number[];
  }[];
}

export interface SiteDiagnosis {
  readonly verdict: Verdict;
  readonly observations: number;
  /** Lines of text. */
  readonly deviating: readonly string[];
  readonly unused: readonly string[];
  readonly groups: readonly DiagnosedGroup[];
  readonly next: NextStep | undefined;
  readonly caution: string;
}

/** Computed over a copy of the site that keeps no account of what depends on what. */
export function siteDiagnosis(open: OpenSite): SiteDiagnosis {
  const site = buildSite(open.site.entries);
  const { verdict, evidence, deviating, unused, groups, next } = diagnosisOf(site);
  return {
    verdict,
    observations: evidence.length,
    deviating: deviating.map(lineOf),
    unused: unused.map(lineOf),
    groups: groups.map((group, index) => groupOf(site, group, index + 1)),
    next: next && stepOf(site, next),
    caution: DIAGNOSIS_CAUTION,
  };
}

function lineOf({ subject, seen, on }: AnyObserved): string {
  return observationText({
    kind: 'observed',
    subject,
    seen,
    ...(on === undefined ? {} : { on }),
  });
}

function groupOf(site: Site, group: CandidateGroup, rank: number): DiagnosedGroup {
  return {
    rank,
    share: group.share,
    explains: group.explained.length,
    contradicted: group.contradicted.map(lineOf),
    faults: group.candidates.map(({ faults, likelihood }) => ({
      kinds: faults.map(({ kind }) => kind),
      text: faults.map((fault) => faultText(fault, endsOf(site, fault))).join('; and '),
      where: roomsOf(
        site,
        faults.flatMap((fault) => ownersOf(site, fault)),
      ),
      likelihood,
    })),
  };
}

/** The devices and boards at which a fault is looked for. */
function ownersOf(site: Site, fault: Fault): readonly string[] {
  switch (fault.kind) {
    case 'way-dead':
      return [ownerIn(fault.way)];
    case 'supply-dead':
      return [ownerIn(fault.outlet)];
    case 'device-dead':
      return [fault.device];
    case 'address-duplicate':
      return [fault.one.device, fault.other.device];
    case 'address-out-of-range':
      return [fault.at.device];
    default:
      return fault.kind === 'voltage-low' && fault.behind.of === 'outlet'
        ? [ownerIn(fault.behind.outlet)]
        : (endsOf(site, fault) ?? []).filter((end) => end !== '').map(ownerIn);
  }
}

function ownerIn(name: string): string {
  return name.slice(0, name.lastIndexOf('.'));
}

function roomsOf(site: Site, owners: readonly string[]): string | undefined {
  const rooms = new Set(
    owners.flatMap((name) => {
      const record = site.devices.get(name) ?? site.boards.get(name);
      const text = record && roomText(site, record);
      return text === undefined ? [] : [text];
    }),
  );
  return rooms.size === 0 ? undefined : [...rooms].join('; ');
}

function roomText(site: Site, record: { readonly room?: string }): string | undefined {
  const placed = roomOf(site, record);
  return (
    placed && `${placed.room.title ?? placed.room.name}, ${placed.area.title ?? placed.area.name}`
  );
}

/** The ends of the cable that a fault is in, or the landing or host where it is. */
function endsOf(site: Site, fault: Fault): readonly [string, string] | undefined {
  switch (fault.kind) {
    case 'segment-cut':
      return cableEnds(site, fault.at);
    case 'voltage-low':
      return fault.behind.of === 'outlet' ? undefined : cableEnds(site, fault.behind.at);
    case 'terminator-missing':
    case 'terminator-extra':
    case 'pair-swapped': {
      const landing = site.buses.get(fault.at.bus)?.landings[fault.at.index];
      return landing && [memberKey(landing.device, landing.member), ''];
    }
    case 'subnet-wrong': {
      const host =
        fault.host === 'laptop' ? undefined : site.networks.get(fault.network)?.hosts[fault.host];
      return host && [memberKey(host.device, host.lan), ''];
    }
    default:
      return undefined;
  }
}

function cableEnds(site: Site, at: CableAt): readonly [string, string] | undefined {
  if (at.of === 'line') {
    const line = site.devices.get(at.device)?.inletLines[at.index];
    return line && [memberKey(line.from.owner, line.from.member), memberKey(at.device, line.inlet)];
  }
  const run = site.buses.get(at.run) ?? site.feeds.get(at.run);
  const segment = run && segmentsOf(site, run)[at.position];
  return run && segment && [endName(run, segment.from), endName(run, segment.to)];
}

function endName(run: Bus | Feed, end: SegmentEnd): string {
  if (typeof end === 'number') {
    const landing = run.landings[end]!;
    return memberKey(landing.device, landing.member);
  }
  const written = run.kind === 'feed' ? (end === 'outlet' ? run.from : run.and) : undefined;
  return written === undefined ? run.name : memberKey(written.owner, written.member);
}

// ---- the next look -------------------------------------------------------------------------------

function stepOf(site: Site, { look, outcomes, expectedLeft }: NextLook): NextStep {
  const place = placeOfLook(site, look);
  const lookAt: LookAt = { kind: look.kind, at: place.at, between: place.between };
  return {
    look: lookAt,
    text: lookText(lookAt),
    where: place.where,
    caution: LOOK_CAUTIONS[look.kind === 'voltage' && place.isMains ? 'mains' : look.kind],
    expectedLeft,
    outcomes: outcomes.flatMap(({ sight, groups }) => {
      const seeing = seeingOf(look, sight);
      return seeing === undefined
        ? []
        : [{ seen: seeingText(seeing), seeing, groups: groups.map((index) => index + 1) }];
    }),
  };
}

interface LookPlace {
  readonly at: string;
  readonly between: string;
  readonly where: string | undefined;
  readonly isMains: boolean;
}

function placeOfLook(site: Site, look: Look): LookPlace {
  const at = subjectOf(look);
  const cut = look.kind === 'units' ? at.length : at.lastIndexOf('.');
  const device = at.slice(0, cut);
  const member = at.slice(cut + 1);
  const inlet = resolveInlet(site, device, member)?.inlet;
  const record = site.devices.get(device);
  const page =
    look.kind === 'page'
      ? site.networks
          .get(look.network)
          ?.hosts.find((host) => host.device === device && host.lan === member)?.page
      : undefined;
  const terminals = inlet?.terminals ?? resolvePort(site, device, member)?.port.terminals ?? [];
  return {
    at,
    between: page ?? (terminals.length > 0 ? terminals.join(' and ') : 'its terminals'),
    where: record && roomText(site, record),
    isMains: inlet !== undefined && bandOf(inlet.voltage) === 'mains',
  };
}

function subjectOf(look: Look): string {
  switch (look.kind) {
    case 'units':
      return look.controller;
    case 'ohm':
    case 'idle':
      return look.port;
    case 'voltage':
      return look.at;
    case 'page':
      return look.host;
  }
}

function seeingOf(look: Look, sight: Sight): Seeing | undefined {
  switch (sight.kind) {
    case 'missing':
      return { kind: 'missing', units: [...sight.units].sort(compareNames) };
    case 'page':
      return sight;
    case 'reading':
      return {
        kind: 'reading',
        low: sight.low,
        high: Number.isFinite(sight.high) ? sight.high : null,
        unit: look.kind === 'ohm' ? 'ohm' : 'V',
      };
    case 'unknown':
      return undefined;
  }
}
