/** The terminals layout: strip to strip and core by core, in rows of strips in the order of the run. */
import { canonicalTerminals } from '../../scene/canonical.js';
import type { TerminalsScene } from '../../scene/scene.js';
import type { Point } from '../geometry.js';
import { badgeOf, plannedText, type PlannedBadge } from '../planned.js';
import {
  BADGE,
  LEAST_WIDTH,
  MARGIN,
  placeFindingList,
  placeHeader,
  placeLegend,
  sheetMark,
  type PlacedHeader,
} from '../sheet.js';
import type { TextMeasure } from '../text-measure.js';
import { TerminalsFrame } from './frame.js';
import { legendOf } from './legend.js';
import { placeCables } from './place-cables.js';
import {
  placeCovers,
  placeEarths,
  placeJoins,
  placeStrips,
  placeTerminals,
  placeTerminations,
} from './place-strips.js';
import type { PlannedCable, PlannedLink, PlannedStrip, TerminalsPlan } from './plan.js';
import * as size from './sizes.js';

export function layoutTerminals(original: TerminalsScene, measure: TextMeasure): TerminalsPlan {
  const scene = canonicalTerminals(original);
  const frame = new TerminalsFrame(scene, measure);
  const strips = placeStrips(frame);
  const wiring = placeCables(frame);
  const { terminations, links } = placeTerminations(frame);
  const earths = placeEarths(frame);
  const covers = placeCovers(frame);

  const sheetMarks = scene.findings.filter((finding) => finding.at.kind === 'sheet').length;
  const titlePx = placeHeader(scene.sheet, sheetMarks, measure, 0).widthPx;
  const widthPx = Math.ceil(Math.max(frame.rightPx + MARGIN, titlePx, LEAST_WIDTH));
  const header = placeHeader(scene.sheet, sheetMarks, measure, widthPx);
  const legendItems = legendOf(scene, { cores: wiring.cores, terminations, earths, covers });
  const legend = placeLegend(legendItems, measure, frame.bottomPx + 34, widthPx);
  const list = placeFindingList(scene.findings, measure, legend.bottom + 24, widthPx);
  return {
    view: 'terminals',
    widthPx,
    heightPx: list.bottom,
    sheet: scene.sheet,
    header: header.texts,
    rowNumbers: frame.rows.map((row, index) =>
      plannedText(measure, String(index + 1), { x: MARGIN, baseline: row.top + 20 }, size.ROW),
    ),
    strips,
    terminals: placeTerminals(frame),
    links: distinct([...placeJoins(frame), ...wiring.links, ...links]),
    cores: wiring.cores,
    cables: wiring.cables,
    continuations: wiring.continuations,
    terminations,
    earths,
    covers,
    badges: placeBadges(scene, strips, wiring.cables, header),
    legend: legend.items,
    findings: list.findings,
    footerTexts: list.texts,
  };
}

/** Two cables at one side of a level share the lead of a terminal; it is drawn once. */
function distinct(links: readonly PlannedLink[]): PlannedLink[] {
  const byPoints = new Map(links.map((link) => [JSON.stringify(link.points), link]));
  return [...byPoints.values()];
}

/** Marks at the upper right of a strip, behind the name of a cable, or behind the title. */
function placeBadges(
  scene: TerminalsScene,
  strips: readonly PlannedStrip[],
  cables: readonly PlannedCable[],
  header: PlacedHeader,
): PlannedBadge[] {
  const used = new Map<string, number>();
  const next = (key: string) => {
    const count = used.get(key) ?? 0;
    used.set(key, count + 1);
    return count * (BADGE + 1);
  };
  const place = ({ at }: TerminalsScene['findings'][number]): Point | undefined => {
    const strip = at.kind === 'landing' ? strips.find((one) => one.id === at.id) : undefined;
    if (strip) {
      const { x, y, width } = strip.rect;
      return { x: x + width - 12 - next(strip.id), y };
    }
    const cable = at.kind === 'segment' ? cables.find((one) => one.id === at.id) : undefined;
    const name = cable?.texts[0];
    if (!cable || !name) return undefined;
    return { x: name.x + name.widthPx / 2 + BADGE / 2 + 4 + next(cable.id), y: name.baseline - 4 };
  };
  let onSheet = 0;
  return scene.findings.map((finding, index) =>
    badgeOf(index + 1, finding, place(finding) ?? sheetMark(header, onSheet++)),
  );
}
