/** Drawings: scene → layout → draw list → SVG. Pure: the same site gives the same bytes. */
import type { Finding } from '../model/finding.js';
import type { BusType, Cable, Equipment } from '../model/equipment.js';
import type { Assembly } from '../model/records.js';
import type { Site } from '../model/site.js';
import type { GridMemory } from './layout/topology/grid.js';
import { layoutTerminals } from './layout/terminals/layout.js';
import type { TerminalsPlan } from './layout/terminals/plan.js';
import { layoutTopology } from './layout/topology/layout.js';
import { layoutIp, type IpPlan } from './layout/ip/layout.js';
import { layoutPower, type PowerPlan } from './layout/power/layout.js';
import type { PlannedFinding } from './layout/planned.js';
import type { TopologyPlan } from './layout/topology/plan.js';
import { topologySceneOf } from './scene/from-site.js';
import { ipSceneOf } from './scene/ip-from-site.js';
import type { IpScene } from './scene/ip-scene.js';
import { powerSceneOf } from './scene/power-from-site.js';
import type { PowerScene } from './scene/power-scene.js';
import type { SceneSeen, SceneSeverity, TerminalsScene, TopologyScene } from './scene/scene.js';
import { terminalsSceneOf } from './scene/terminals-from-site.js';
import type { DrawList } from './svg/draw-list.js';
import { paintIp } from './svg/paint-ip.js';
import { paintPower } from './svg/paint-power.js';
import {
  busTypePicture,
  cablePicture,
  equipmentPicture,
  namedPicture,
} from './svg/paint-template.js';
import { paintTerminals } from './svg/paint-terminals.js';
import { paintTopology } from './svg/paint-topology.js';
import type { Theme } from './svg/style.js';
import { fontMeasure } from './svg/text-measure.js';
import { writeSvg } from './svg/write-svg.js';

export type { DrawList } from './svg/draw-list.js';
export type { Theme } from './svg/style.js';
export { topologySceneOf } from './scene/from-site.js';
export { plotPicture } from './svg/paint-plot.js';
export type { PlotPoint, PlotScene } from './scene/plot.js';
export { powerSceneOf } from './scene/power-from-site.js';
export { ipSceneOf } from './scene/ip-from-site.js';
export { terminalsSceneOf } from './scene/terminals-from-site.js';
export { markText, placeOfMark } from './scene/places.js';

/** What carries over from one picture of a site to the next, so that an edit moves little. */
export type LayoutMemory = GridMemory;

export interface DrawOptions {
  readonly previous?: LayoutMemory | undefined;
  /** Long lines as pairs of flags: on above 150 devices where left out. */
  readonly flags?: 'auto' | 'always' | 'never';
  /** What was seen of each device on site, by name: drawn as a mark at its box, in the topology alone. */
  readonly seen?: ReadonlyMap<string, SceneSeen> | undefined;
  /** Colours: those of the surrounding editor where left out, light where there is none. */
  readonly theme?: Theme | undefined;
}

/** Something in the picture that can have the focus, in reading order. */
export interface DrawnSubject {
  /** As in the picture's `data-place`. */
  readonly place: string;
  /** `FC-2-03, indoor unit, Level 2, bus field-2 position 4 of 11, 1 error`. */
  readonly label: string;
  /** The bus or feed along which it stands. */
  readonly chain?: string;
  readonly area?: string;
}

/** A finding's number in the picture and in its list. */
export interface NumberedFinding {
  /** From 1. */
  readonly number: number;
  /** Index in the list of findings that was handed in. */
  readonly index: number;
  readonly severity: SceneSeverity;
  /** As in the picture's `data-place`. */
  readonly place: string;
}

export interface Drawing {
  readonly title: string;
  /** One `<svg>` document. */
  readonly svg: string;
  /** The same picture for other writers. */
  readonly list: DrawList;
  readonly subjects: readonly DrawnSubject[];
  readonly findings: readonly NumberedFinding[];
  /** To be handed in with the next drawing of the same site; none for views that need none. */
  readonly memory?: LayoutMemory;
}

/** A draw list as one `<svg>` document with a style sheet of the caller's. */
export function svgOf(list: DrawList, styleSheet: string): string {
  return writeSvg(list, undefined, styleSheet);
}

/** The topology of a site. */
export function drawTopology(
  site: Site,
  findings: readonly Finding[],
  options: DrawOptions = {},
): Drawing {
  return drawTopologyScene(topologySceneOf(site, findings, options.seen), options);
}

export function drawTopologyScene(scene: TopologyScene, options: DrawOptions = {}): Drawing {
  const plan = planTopology(scene, options);
  const list = paintTopology(plan, fontMeasure);
  return {
    title: scene.sheet.title,
    svg: writeSvg(list, options.theme),
    list,
    subjects: plan.boxes.map(({ mark, description, chain, area }) => ({
      place: mark.place,
      label: description,
      ...(chain === undefined ? {} : { chain }),
      ...(area === undefined ? {} : { area }),
    })),
    findings: numbered(plan.findings),
    memory: plan.memory,
  };
}

/** The wiring of one bus or feed, core by core; undefined where there is none of that name. */
export function drawTerminals(
  site: Site,
  run: string,
  findings: readonly Finding[],
  options: Pick<DrawOptions, 'theme'> = {},
): Drawing | undefined {
  const scene = terminalsSceneOf(site, run, findings);
  return scene && drawTerminalsScene(scene, options);
}

export function drawTerminalsScene(
  scene: TerminalsScene,
  options: Pick<DrawOptions, 'theme'> = {},
): Drawing {
  const plan = planTerminals(scene);
  const list = paintTerminals(plan, fontMeasure);
  return {
    title: scene.sheet.title,
    svg: writeSvg(list, options.theme),
    list,
    subjects: plan.strips.map(({ mark, description }) => ({
      place: mark.place,
      label: description,
      chain: scene.run,
    })),
    findings: numbered(plan.findings),
  };
}

/** Ways, supplies, feeds and inlets with load, voltage and margin, and the voltage along each run. */
export function drawPower(
  site: Site,
  findings: readonly Finding[],
  options: Pick<DrawOptions, 'theme'> = {},
): Drawing {
  const scene = powerSceneOf(site, findings);
  const plan = planPower(scene);
  const list = paintPower(plan, scene.profiles, fontMeasure);
  const rows = plan.lists.flatMap((one) => one.rows);
  return {
    title: scene.sheet.title,
    svg: writeSvg(list, options.theme),
    list,
    subjects: [...plan.nodes, ...rows]
      .filter(({ id }) => id !== 'unfed')
      .sort((one, other) => one.rect.y - other.rect.y || one.rect.x - other.rect.x)
      .map(({ mark, description }) => ({ place: mark.place, label: description })),
    findings: numbered(plan.findings),
  };
}

export function planPower(scene: PowerScene): PowerPlan {
  return layoutPower(scene, fontMeasure);
}

/** A template as one `<svg>` document. */
export function templatePicture(template: BusType | Cable | Equipment | Assembly): string {
  switch (template.kind) {
    case 'equipment':
      return writeSvg(equipmentPicture(template));
    case 'cable':
      return writeSvg(cablePicture(template));
    case 'bustype':
      return writeSvg(busTypePicture(template));
    case 'assembly':
      return writeSvg(
        namedPicture(
          template.name,
          template.title,
          template.parts.map(({ name }) => name),
        ),
      );
  }
}

/** Used, pool and free addresses of each network. */
export function drawIp(
  site: Site,
  findings: readonly Finding[],
  options: Pick<DrawOptions, 'theme'> = {},
): Drawing {
  const scene = ipSceneOf(site, findings);
  const plan = planIp(scene);
  const list = paintIp(plan, fontMeasure);
  return {
    title: scene.sheet.title,
    svg: writeSvg(list, options.theme),
    list,
    subjects: plan.networks.flatMap(({ mark, description, holders }) => [
      { place: mark.place, label: description },
      ...holders.map((holder) => ({
        place: holder.mark.place,
        label: holder.description,
        chain: mark.name,
      })),
    ]),
    findings: numbered(plan.findings),
  };
}

export function planIp(scene: IpScene): IpPlan {
  return layoutIp(scene, fontMeasure);
}

export function planTerminals(scene: TerminalsScene): TerminalsPlan {
  return layoutTerminals(scene, fontMeasure);
}

function numbered(findings: readonly PlannedFinding[]): NumberedFinding[] {
  return findings.map(({ number, finding }) => ({
    number,
    index: Number(finding.key),
    severity: finding.severity,
    place: finding.mark.place,
  }));
}

/** Positions and routes of a topology, before it is painted. */
export function planTopology(
  scene: TopologyScene,
  options: Pick<DrawOptions, 'previous' | 'flags'> = {},
): TopologyPlan {
  const { previous, flags } = options;
  return layoutTopology(scene, {
    measure: fontMeasure,
    ...(previous === undefined ? {} : { previous }),
    ...(flags === undefined ? {} : { flags }),
  });
}
