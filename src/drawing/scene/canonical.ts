import { compareNames } from '../../model/site.js';
import type {
  SceneArea,
  SceneFinding,
  SceneSeverity,
  TerminalsScene,
  TopologyScene,
} from './scene.js';

/**
 * The same scene in an order of names, so that the order in which a site's declarations were written
 * changes nothing in the picture. The order of landings is kept: it is the wiring itself.
 */
export function canonicalTopology(scene: TopologyScene): TopologyScene {
  const by =
    <Item>(...keys: ((item: Item) => string)[]) =>
    (one: Item, other: Item) => {
      for (const key of keys) {
        const difference = compareNames(key(one), key(other));
        if (difference !== 0) return difference;
      }
      return 0;
    };
  return {
    ...scene,
    areas: [...scene.areas].sort(compareAreas),
    rooms: [...scene.rooms].sort(
      by(
        (room) => room.title,
        (room) => room.id,
      ),
    ),
    devices: [...scene.devices].sort(
      by(
        (device) => device.tag,
        (device) => device.id,
      ),
    ),
    boards: [...scene.boards].sort(
      by(
        (board) => board.tag,
        (board) => board.id,
      ),
    ),
    runs: [...scene.runs].sort(
      by(
        (run) => run.kind,
        (run) => run.mark.name,
        (run) => run.id,
      ),
    ),
    branches: [...scene.branches]
      .sort(
        by(
          (branch) => branch.mark.name,
          (branch) => branch.id,
        ),
      )
      .map((branch) => ({
        ...branch,
        taps: [...branch.taps].sort(
          by(
            (tap) => tap.owner.id,
            (tap) => tap.member,
          ),
        ),
      })),
    networks: [...scene.networks]
      .sort(
        by(
          (network) => network.mark.name,
          (network) => network.id,
        ),
      )
      .map((network) => ({
        ...network,
        hosts: [...network.hosts].sort(
          by(
            (host) => host.deviceId,
            (host) => host.lan,
            (host) => host.address,
          ),
        ),
      })),
    findings: canonicalFindings(scene.findings),
  };
}

export function canonicalTerminals(scene: TerminalsScene): TerminalsScene {
  return { ...scene, findings: canonicalFindings(scene.findings) };
}

const SEVERITY_ORDER: Readonly<Record<SceneSeverity, number>> = { error: 0, warning: 1, hint: 2 };

/** Findings in the order of their numbers: the worst first, then by rule and subject. */
export function canonicalFindings(findings: readonly SceneFinding[]): SceneFinding[] {
  return [...findings].sort(
    (one, other) =>
      SEVERITY_ORDER[one.severity] - SEVERITY_ORDER[other.severity] ||
      compareNames(one.rule, other.rule) ||
      compareNames(one.subject, other.subject) ||
      compareNames(one.message, other.message) ||
      compareNames(one.mark.place, other.mark.place),
  );
}

/** The highest floor first; floors of unknown height last. */
function compareAreas(one: SceneArea, other: SceneArea): number {
  const difference = (other.levelM ?? -Infinity) - (one.levelM ?? -Infinity);
  if (!Number.isNaN(difference) && difference !== 0) return difference;
  return compareNames(one.title, other.title) || compareNames(one.id, other.id);
}
