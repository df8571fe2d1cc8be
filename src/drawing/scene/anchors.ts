import type { Finding } from '../../model/finding.js';
import type { Site } from '../../model/site.js';
import type { SceneAnchor, SceneRun } from './scene.js';

/** Parts of a landing line that speak of the cable that leads there and not of the device. */
const CABLE_PARTS = new Set(['length', 'cable', 'using']);
/** Rules that judge the cable as a whole although they stand at one landing. */
const CABLE_RULES = new Set([
  'bus-too-long',
  'bus-farthest-too-far',
  'stub-too-long',
  'cable-unsuitable',
  'length-estimated',
  'conductor-undersized',
]);

/** The drawn thing that a finding is about, by the place of the finding and, failing that, by its subject. */
export function anchorOf(site: Site, runs: readonly SceneRun[], finding: Finding): SceneAnchor {
  const { declaration, part } = finding.at;
  const record = site.byName.get(declaration)?.record;
  switch (record?.kind) {
    case 'device':
      return { kind: 'device', id: record.name };
    case 'board':
      return { kind: 'board', id: record.name };
    case 'area':
      return { kind: 'area', id: record.name };
    case 'bus':
    case 'feed': {
      const run = runs.find((one) => one.kind === record.kind && one.mark.name === record.name);
      return run === undefined ? bySubject(site, finding.subject) : inRun(run, part, finding.rule);
    }
    case 'network': {
      const [kind, index] = part.split('/');
      const host = kind === 'host' ? record.hosts[Number(index)] : undefined;
      return host !== undefined && site.devices.has(host.device)
        ? { kind: 'device', id: host.device }
        : { kind: 'network', id: `network ${record.name}` };
    }
    case 'isolator':
      return site.boards.has(record.on.owner)
        ? { kind: 'board', id: record.on.owner }
        : bySubject(site, record.on.owner);
    default:
      return bySubject(site, finding.subject);
  }
}

function inRun(run: SceneRun, part: string, rule: string): SceneAnchor {
  const [kind, index, detail] = part.split('/');
  if (kind === 'ring' || kind === 'last') {
    const last = run.segments.at(-1);
    if (last) return { kind: 'segment', runId: run.id, id: last.id };
  }
  if (kind !== 'land' || index === undefined) return { kind: 'run', id: run.id };
  const leading = run.segments.find((segment) => segment.to === index && segment.kind !== 'ring');
  if (leading && (CABLE_PARTS.has(detail ?? '') || CABLE_RULES.has(rule))) {
    return { kind: 'segment', runId: run.id, id: leading.id };
  }
  const landing = run.landings.find((one) => one.id === index);
  return landing === undefined
    ? { kind: 'run', id: run.id }
    : { kind: 'landing', runId: run.id, id: landing.id };
}

/** `ZC-1.supply` and `FC-1-03` are about a device, `DB-1.W7` about a board. */
function bySubject(site: Site, subject: string): SceneAnchor {
  const parts = subject.split('.');
  for (let length = parts.length; length > 0; length--) {
    const name = parts.slice(0, length).join('.');
    if (site.devices.has(name)) return { kind: 'device', id: name };
    if (site.boards.has(name)) return { kind: 'board', id: name };
    if (site.buses.has(name)) return { kind: 'run', id: `bus ${name}` };
    if (site.feeds.has(name)) return { kind: 'run', id: `feed ${name}` };
    if (site.networks.has(name)) return { kind: 'network', id: `network ${name}` };
  }
  return { kind: 'sheet' };
}
