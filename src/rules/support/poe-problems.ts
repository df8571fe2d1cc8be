/** What rules about supplies say of devices that live on the power of a network socket. */
import { isAbove } from '../../analysis/bus/limits.js';
import { POE_FROM_MEMORY, suffices } from '../../analysis/electrical/poe-classes.js';
import { largerCables } from '../../analysis/power/larger-cables.js';
import { connectionsOf } from '../../analysis/power/consumers.js';
import { missingInlets } from '../../analysis/power/missing.js';
import {
  longestPoeRunM,
  poeBudgetOf,
  poeLinksInto,
  poeVoltageOf,
} from '../../analysis/power/poe.js';
import type { PoeLink } from '../../analysis/power/poe.js';
import { socketCandidates } from '../../analysis/power/poe-candidates.js';
import type { SocketCandidate } from '../../analysis/power/poe-candidates.js';
import { judgedTemperature } from '../../analysis/power/temperature.js';
import { withHostCable } from '../../analysis/power/trial.js';
import { isBelow } from '../../analysis/power/voltages.js';
import type { Finding, Fix, RelatedPlace } from '../../model/finding.js';
import { part, placeOf } from '../../model/origin.js';
import type { Device } from '../../model/records.js';
import { equipmentOf } from '../../model/site.js';
import type { Site } from '../../model/site.js';
import type { Problem } from '../rule.js';
import { measured } from './bus-wording.js';
import { amount, atTemperature, metresDown } from './power-wording.js';
import { beyond } from './margin-wording.js';

/** How many sockets are offered. */
const OFFERED = 3;

/** Devices that have nothing but their socket, which gives no power. */
export function* poeMissing(site: Site, device: Device): Iterable<Problem> {
  if (hasOtherSupply(site, device)) {
    return;
  }
  for (const link of poeLinksInto(site, device)) {
    if (link.giver !== undefined && link.given === undefined) {
      yield {
        subject: link.subject,
        at: fromPlace(link),
        what: `${link.subject} lives on the power of its socket (class ${link.taken.number}), and ${link.from} gives none.`,
        why: 'The device stays dark.',
        remedy: socketAdvice(
          socketCandidates(site, link, 1),
          `Plug it into a socket that gives class ${link.taken.number} or more, or power it with an injector.`,
        ),
        related: [takenPlace(link)],
      };
    }
  }
}

/** Devices that take a higher class than their socket gives. */
export function* poeMismatches(site: Site, device: Device): Iterable<Problem> {
  for (const link of poeLinksInto(site, device)) {
    const { given, taken } = link;
    if (given === undefined || suffices(given, taken)) {
      continue;
    }
    yield {
      subject: link.subject,
      at: fromPlace(link),
      what: `${link.subject} takes class ${taken.number} (${amount(taken.sourceW, 'W')} at the socket), but ${link.from} gives class ${given.number} (${amount(given.sourceW, 'W')}).`,
      why: 'The device starts with part of its functions, or starts again and again, or not at all.',
      remedy: socketAdvice(
        socketCandidates(site, link, 1),
        `Plug it into a socket that gives class ${taken.number} or more.`,
      ),
      related: [takenPlace(link), givenPlace(link)],
      facts: [measured('class-taken', taken.number, ''), measured('class-given', given.number, '')],
    };
  }
}

/** Devices at the end of a network cable that is too long or too thin. */
export function* poeUndervoltages(site: Site, device: Device): Iterable<Problem> {
  for (const link of poeLinksInto(site, device)) {
    const voltage = poeVoltageOf(site, link);
    const minimumV = link.taken.deviceMinimumV;
    if (
      voltage === undefined ||
      voltage.kind === 'unknown' ||
      missingInlets(site, link.giver!.device).length > 0 ||
      (voltage.kind === 'operating' && !isBelow(voltage.voltageV, minimumV))
    ) {
      continue;
    }
    const { channel } = voltage;
    const temperature = atTemperature(judgedTemperature(site));
    const needed = `the ${amount(minimumV, 'V')} of class ${link.taken.number}`;
    const isRemembered = link.taken.minimumSureness === 'from-memory';
    const longestM = longestPoeRunM(link, channel);
    yield {
      subject: link.subject,
      at: link.at,
      what:
        voltage.kind === 'operating'
          ? `${link.subject} gets ${amount(voltage.voltageV, 'V', minimumV)} ${temperature}, less than ${needed}${beyond(voltage.voltageV, minimumV)}: its cable has ${amount(channel.loopOhm, 'ohm')}.${isRemembered ? ` The limit is ${POE_FROM_MEMORY.text}.` : ''}`
          : `${link.subject} has no operating point ${temperature}: over its cable of ${amount(channel.loopOhm, 'ohm')} ${link.from} cannot carry the ${amount(link.taken.deviceW, 'W')} of class ${link.taken.number}.`,
      why: 'The socket cuts the power off, or the device restarts whenever it works hard.',
      remedy:
        longestM === undefined
          ? 'Use a cable with larger conductors, or a nearer switch.'
          : `Use a cable with larger conductors or a nearer switch; with this cable at most ${metresDown(longestM)} pass.`,
      related: [takenPlace(link), givenPlace(link)],
      ...(voltage.kind === 'operating'
        ? {
            facts: [
              measured('voltage', voltage.voltageV, 'V'),
              measured('minimum-voltage', minimumV, 'V'),
            ],
            waivable: { value: voltage.voltageV, unit: 'V', lowerIsWorse: true as const },
          }
        : {}),
      ...(isRemembered ? { severity: 'warning' as const } : {}),
    };
  }
}

/** A switch whose sockets have to hold more ready than its budget. */
export function* poeOverloads(site: Site, device: Device): Iterable<Problem> {
  const budget = poeBudgetOf(site, device);
  const budgetW = budget?.budgetW;
  if (
    budgetW === undefined ||
    !isAbove(budget!.loadW, budgetW) ||
    missingInlets(site, device).length > 0
  ) {
    return;
  }
  let sumW = 0;
  const straw = budget!.parts.find(({ powerW }) => {
    sumW += powerW;
    return isAbove(sumW, budgetW);
  })!;
  yield {
    subject: device.name,
    at: straw.link.at,
    what: `The sockets of ${device.name} have to hold ${amount(budget!.loadW, 'W', budgetW)} ready, more than its budget of ${amount(budgetW, 'W')}${beyond(budget!.loadW, budgetW)}: ${straw.link.subject} adds ${amount(straw.powerW, 'W')}.`,
    why: 'The switch leaves the last sockets without power, others after each restart.',
    remedy: socketAdvice(
      elsewhere(socketCandidates(site, straw.link, OFFERED + 1), device).slice(0, 1),
      `Plug ${straw.link.subject} into another switch, or take a switch with a budget of ${amount(budget!.loadW, 'W')} or more.`,
    ),
    related: [
      {
        at: placeOf(device.equipment, 'poe-budget'),
        message: `The budget of ${amount(budgetW, 'W')} is stated here.`,
      },
      { at: placeOf(device.name, 'name'), message: `${device.name} is the switch.` },
    ],
    facts: [measured('load', budget!.loadW, 'W'), measured('rating', budgetW, 'W')],
    waivable: { value: budget!.loadW, unit: 'W' },
  };
}

/** Other sockets for the device of a finding; empty where the finding is not about one. */
export function socketFixes(site: Site, finding: Finding): readonly Fix[] {
  const link = linkOfFinding(site, finding);
  if (link?.from === undefined) {
    return [];
  }
  const all = socketCandidates(site, link, OFFERED + 1);
  const overloaded = site.devices.get(finding.subject);
  const offered = overloaded === undefined ? all : elsewhere(all, overloaded);
  return offered.slice(0, OFFERED).map((candidate) => ({
    title: `Plug ${link.subject} into ${socketText(candidate)}`,
    kind: 'wiring',
    edits: [{ kind: 'replace-value', at: fromPlace(link), text: candidate.key }],
  }));
}

/** The thinnest larger cable of the site with which the device of a finding has its voltage. */
export function socketCableFixes(site: Site, finding: Finding): readonly Fix[] {
  const link = linkOfFinding(site, finding);
  const present = link?.host.cable === undefined ? undefined : site.cables.get(link.host.cable);
  if (link === undefined || present === undefined) {
    return [];
  }
  const { network, host } = link;
  const larger = largerCables(site, present).find((cable) => {
    const trial = withHostCable(site, network.name, host.index, cable.name);
    const device = trial.devices.get(link.device.name)!;
    return poeLinksInto(trial, device)
      .filter(({ subject }) => subject === link.subject)
      .every((one) => {
        const voltage = poeVoltageOf(trial, one);
        return (
          voltage?.kind === 'operating' && !isBelow(voltage.voltageV, one.taken.deviceMinimumV)
        );
      });
  });
  return larger === undefined
    ? []
    : [
        {
          title: `Use ${larger.name} for ${link.subject}`,
          kind: 'wiring',
          edits: [
            {
              kind: 'replace-value',
              at: placeOf(network.name, part('host', host.index, 'cable')),
              text: larger.name,
            },
          ],
        },
      ];
}

function linkOfFinding(site: Site, { at }: Pick<Finding, 'at'>): PoeLink | undefined {
  const network = site.networks.get(at.declaration);
  const index = /^host\/(\d+)(?:\/|$)/u.exec(at.part)?.[1];
  const host = network?.hosts.find((one) => one.index === Number(index));
  const device = host && site.devices.get(host.device);
  return (
    device &&
    poeLinksInto(site, device).find((link) => link.network === network && link.host === host)
  );
}

/** Whether a device has, or should have, an inlet or a bus to live on. */
function hasOtherSupply(site: Site, device: Device): boolean {
  const equipment = equipmentOf(site, device);
  return (
    equipment === undefined ||
    equipment.inlets.some(
      (inlet) => !inlet.optional || connectionsOf(site, device.name, inlet.name).length > 0,
    ) ||
    equipment.ports.some((port) => port.takes !== undefined)
  );
}

function elsewhere(
  candidates: readonly SocketCandidate[],
  device: Device,
): readonly SocketCandidate[] {
  return candidates.filter(({ key }) => !key.startsWith(`${device.name}.`));
}

function socketAdvice([first]: readonly SocketCandidate[], otherwise: string): string {
  return first === undefined ? otherwise : `Plug it into ${socketText(first)}.`;
}

function socketText({ key, classNumber, spareW }: SocketCandidate): string {
  return `${key} (class ${classNumber}, ${amount(spareW, 'W')} to spare)`;
}

function fromPlace({ network, host }: PoeLink) {
  return placeOf(network.name, part('host', host.index, 'from'));
}

function takenPlace({ device, host, taken }: PoeLink): RelatedPlace {
  return {
    at: placeOf(device.equipment, part('lan', host.lan)),
    message: `It takes class ${taken.number} here.`,
  };
}

function givenPlace({ giver, given }: PoeLink): RelatedPlace {
  return {
    at: placeOf(giver!.device.equipment, part('lan', giver!.lan.name)),
    message: `The socket gives class ${given!.number} here.`,
  };
}
