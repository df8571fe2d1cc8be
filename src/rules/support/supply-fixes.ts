/** Fixes of supply rules: give a supply, move to another one, take a larger cable. */
import { connectionsOf } from '../../analysis/power/consumers.js';
import { supplyCandidates } from '../../analysis/power/candidates.js';
import type { SupplyCandidate } from '../../analysis/power/candidates.js';
import type { InletConnection } from '../../analysis/power/consumers.js';
import { largerCables } from '../../analysis/power/larger-cables.js';
import {
  withLandingCables,
  withLineCable,
  withoutLanding,
  withRunCable,
} from '../../analysis/power/trial.js';
import type { ModelEdit } from '../../model/edit.js';
import type { BusType, Cable } from '../../model/equipment.js';
import type { Finding, Fix } from '../../model/finding.js';
import { part, placeOf } from '../../model/origin.js';
import { equipmentOf, memberKey } from '../../model/site.js';
import type { ResolvedInlet, Site } from '../../model/site.js';
import type { Bus, Feed } from '../../model/wiring.js';
import { amount, feedLandingOf, inletLineOf } from './power-wording.js';

/** How many sources are offered. */
const OFFERED = 3;

/** The inlet whose landing or line a finding stands at. */
export function inletOfFinding(
  site: Site,
  finding: Pick<Finding, 'at'>,
): (ResolvedInlet & { readonly connection: InletConnection }) | undefined {
  const landed = feedLandingOf(site, finding);
  const lined = inletLineOf(site, finding);
  const deviceName = landed?.landing.device ?? lined?.device.name;
  const inletName = landed?.landing.member ?? lined?.line.inlet;
  const device = deviceName === undefined ? undefined : site.devices.get(deviceName);
  const equipment = device && equipmentOf(site, device);
  const inlet = equipment?.inlets.find((one) => one.name === inletName);
  const connection: InletConnection | undefined =
    landed !== undefined
      ? { kind: 'landing', ...landed }
      : lined && { kind: 'line', device: lined.device.name, line: lined.line };
  return device && equipment && inlet && connection && { device, equipment, inlet, connection };
}

/** Sources for an inlet that has none. */
export function supplyFixes(site: Site, resolved: ResolvedInlet): readonly Fix[] {
  return supplyCandidates(site, resolved.device, resolved.inlet, OFFERED).map((candidate) => ({
    title: `Feed ${nameOf(resolved)} from ${candidateText(candidate)}`,
    kind: 'wiring',
    edits: supplyEdits(resolved, candidate),
  }));
}

/** Other sources for an inlet that is connected; its landing goes, its line gets another origin. */
export function moveFixes(
  site: Site,
  moved: ResolvedInlet & { readonly connection: InletConnection },
): readonly Fix[] {
  const { device, inlet, connection } = moved;
  // An inlet that is connected twice is another finding's business.
  if (connectionsOf(site, device.name, inlet.name).length !== 1) {
    return [];
  }
  const without =
    connection.kind === 'landing'
      ? withoutLanding(site, connection.feed.name, connection.landing.index)
      : site;
  const present = connection.kind === 'landing' ? sourceKeys(connection.feed) : new Set<string>();
  return supplyCandidates(without, device, inlet, OFFERED + present.size)
    .filter((candidate) => !present.has(candidate.point.key))
    .slice(0, OFFERED)
    .flatMap((candidate): Fix[] => {
      const edits = moveEdits(moved, candidate);
      return edits.length === 0
        ? []
        : [
            {
              title: `Move ${nameOf(moved)} to ${candidateText(candidate)}`,
              kind: 'wiring',
              edits,
            },
          ];
    });
}

/** A run as a cable fix sees it. */
export interface CableRun {
  readonly record: Bus | Feed;
  readonly busType?: BusType;
}

/** The cables that may take the place of one, best first. */
export type Replacements = (site: Site, present: Cable, busType?: BusType) => readonly Cable[];

/**
 * The thinnest larger cable of the site (or the first of other `replacements`) with which a check
 * passes, for a whole run: its own cable, and those of landings that state the same one.
 */
export function runCableFixes(
  site: Site,
  { record, busType }: CableRun,
  passes: (trial: Site) => boolean,
  replacements: Replacements = largerCables,
): readonly Fix[] {
  const present = record.cable === undefined ? undefined : site.cables.get(record.cable);
  if (present === undefined) {
    return [];
  }
  const same = record.landings.filter((landing) => landing.cable === present.name);
  const indexes = new Set(same.map((landing) => landing.index));
  const larger = replacements(site, present, busType).find(
    (cable) =>
      keepsStatedCores(record, present, cable) &&
      passes(
        withLandingCables(
          withRunCable(site, record.name, cable.name),
          record.name,
          indexes,
          cable.name,
        ),
      ),
  );
  if (larger === undefined) {
    return [];
  }
  return [
    {
      title: `Use ${larger.name} for ${record.name}`,
      kind: 'wiring',
      edits: [
        { kind: 'set-run-cable', run: record.name, cable: larger.name },
        ...same.map((landing): ModelEdit => ({
          kind: 'replace-value',
          at: placeOf(record.name, part('land', landing.index, 'cable')),
          text: larger.name,
        })),
      ],
    },
  ];
}

/** Whether cores that landings on a cable name by colour are found in another one. */
function keepsStatedCores(run: Bus | Feed, present: Cable, other: Cable): boolean {
  return run.landings.every(
    (landing) =>
      landing.cores === undefined ||
      (landing.cable ?? run.cable) !== present.name ||
      landing.cores.every((core) => other.colours.includes(core)),
  );
}

/** The same for the cable that one landing states for itself. */
export function landingCableFixes(
  site: Site,
  run: CableRun,
  landing: number,
  passes: (trial: Site) => boolean,
  replacements: Replacements = largerCables,
): readonly Fix[] {
  const { record } = run;
  const own = record.landings.find((one) => one.index === landing)?.cable;
  if (own === undefined || own === record.cable) {
    return runCableFixes(site, run, passes, replacements);
  }
  const present = site.cables.get(own);
  const larger =
    present &&
    replacements(site, present, run.busType).find(
      (cable) =>
        keepsStatedCores(record, present, cable) &&
        passes(withLandingCables(site, record.name, new Set([landing]), cable.name)),
    );
  return larger === undefined
    ? runCableFixes(site, run, passes, replacements)
    : [
        {
          title: `Use ${larger.name} for this length`,
          kind: 'wiring',
          edits: [
            {
              kind: 'replace-value',
              at: placeOf(record.name, part('land', landing, 'cable')),
              text: larger.name,
            },
          ],
        },
      ];
}

/** The same for an inlet line. */
export function lineCableFixes(
  site: Site,
  device: string,
  line: number,
  passes: (trial: Site) => boolean,
  replacements: Replacements = largerCables,
): readonly Fix[] {
  const name = site.devices.get(device)?.inletLines.find((one) => one.index === line)?.cable;
  const present: Cable | undefined = name === undefined ? undefined : site.cables.get(name);
  const larger =
    present &&
    replacements(site, present).find((cable) =>
      passes(withLineCable(site, device, line, cable.name)),
    );
  return larger === undefined
    ? []
    : [
        {
          title: `Use ${larger.name} for this line`,
          kind: 'wiring',
          edits: [
            {
              kind: 'replace-value',
              at: placeOf(device, part('inlet', line, 'cable')),
              text: larger.name,
            },
          ],
        },
      ];
}

/** A larger cable for wherever a connection's cable is stated. */
export function connectionCableFixes(
  site: Site,
  connection: InletConnection,
  passes: (trial: Site) => boolean,
  replacements: Replacements = largerCables,
): readonly Fix[] {
  return connection.kind === 'landing'
    ? landingCableFixes(
        site,
        { record: connection.feed },
        connection.landing.index,
        passes,
        replacements,
      )
    : lineCableFixes(site, connection.device, connection.line.index, passes, replacements);
}

function supplyEdits(
  { device, inlet }: ResolvedInlet,
  { point, feed }: SupplyCandidate,
): readonly ModelEdit[] {
  return feed === undefined
    ? [
        {
          kind: 'set-inlet-line',
          device: device.name,
          inlet: inlet.name,
          from: point.key,
          covered: inlet.exposed,
        },
      ]
    : [
        {
          kind: 'add-landing',
          run: feed.name,
          device: device.name,
          port: inlet.name,
          flags: inlet.exposed ? ['covered'] : [],
        },
      ];
}

function moveEdits(
  moved: ResolvedInlet & { readonly connection: InletConnection },
  candidate: SupplyCandidate,
): readonly ModelEdit[] {
  const { device, inlet, connection } = moved;
  if (connection.kind === 'landing') {
    const { feed, landing } = connection;
    // Where a spur hangs on the landing, taking it off is no single step.
    if (feed.landings.some((one) => one.from === landing.index && one.spur !== landing.spur)) {
      return [];
    }
    return [
      { kind: 'remove-landing', run: feed.name, landing: landing.index },
      ...supplyEdits(moved, candidate),
    ];
  }
  if (candidate.feed === undefined) {
    return [
      {
        kind: 'replace-value',
        at: placeOf(device.name, part('inlet', connection.line.index, 'from')),
        text: candidate.point.key,
      },
    ];
  }
  return [
    {
      kind: 'remove-statement',
      at: placeOf(device.name, part('inlet', connection.line.index)),
    },
    ...supplyEdits({ device, equipment: moved.equipment, inlet }, candidate),
  ];
}

function sourceKeys(feed: Feed): ReadonlySet<string> {
  return new Set(
    [feed.from, feed.and].flatMap((end) =>
      end === undefined ? [] : memberKey(end.owner, end.member),
    ),
  );
}

function candidateText({ point, feed, spare, unit }: SupplyCandidate): string {
  const room = `${amount(spare, unit)} to spare`;
  return feed === undefined ? `${point.key} (${room})` : `${point.key} over ${feed.name} (${room})`;
}

function nameOf({ device, inlet }: ResolvedInlet): string {
  return memberKey(device.name, inlet.name);
}
