/** Drawings of a checked site. */
import { drawTopologyScene, type LayoutMemory } from '../drawing/index.js';
import { topologySceneOf } from '../drawing/scene/from-site.js';
import { markText, placeOfMark } from '../drawing/scene/places.js';
import { placeOf } from '../model/origin.js';
import { messageOf } from '../model/finding.js';
import type { FileRange } from '../model/located.js';
import { fileRangeOf, type CheckedSite } from './workbench.js';
import type { OpenSite } from './open-site.js';

export type DrawingView = 'topology' | 'terminals';

export interface DrawingRequest {
  readonly view: DrawingView;
  /** The bus or feed of a terminals view. */
  readonly of?: string;
  /** What the last picture of this site remembers, so that an edit moves little. */
  readonly memory?: LayoutMemory;
}

export interface SiteDrawing {
  readonly title: string;
  readonly of?: string;
  /** Null where there is nothing to draw; then `problem` says why. */
  readonly svg: string | null;
  readonly problem?: string;
  readonly memory?: LayoutMemory;
  /** What the keyboard walks through, in reading order. */
  readonly subjects: readonly DrawnSubject[];
}

export interface DrawnSubject {
  readonly place: string;
  readonly label: string;
  readonly chain?: string;
  readonly area?: string;
}

/** Draws a site. Never throws: what cannot be drawn is a sentence. */
export function drawingOf(checked: CheckedSite, request: DrawingRequest): SiteDrawing {
  const { site } = checked.open;
  const name = site.settings?.title ?? site.settings?.name ?? 'Site without a name';
  if (site.devices.size + site.boards.size === 0) {
    return {
      title: name,
      svg: null,
      problem: 'There is no device in this site yet.',
      subjects: [],
    };
  }
  const findings = checked.findings.map((one) => one.finding);
  const problem = problemOf(checked);
  const scene = topologySceneOf(site, findings);
  const drawing = drawTopologyScene(
    scene,
    request.memory === undefined ? {} : { previous: request.memory },
  );
  return {
    title: `${name}, topology`,
    svg: drawing.svg,
    ...(problem === undefined ? {} : { problem }),
    ...(drawing.memory === undefined ? {} : { memory: drawing.memory }),
    subjects: subjectsOf(checked),
  };
}

/** The text of what is drawn at a place. */
export function drawnAt(open: OpenSite, place: string): FileRange | undefined {
  return fileRangeOf(open, placeOfMark(place));
}

/** A place as the picture spells it. */
export const placeText = markText;

/** Says what the picture lacks while part of the text cannot be read. */
function problemOf(checked: CheckedSite): string | undefined {
  const unread = checked.findings.filter(({ finding }) => finding.rule === 'syntax-error');
  const first = unread[0];
  return first === undefined
    ? undefined
    : `The picture lacks what cannot be read: ${messageOf(first.finding)}${unread.length === 1 ? '' : ` (and ${unread.length - 1} more)`}`;
}

/** Devices bus by bus in the order of their landings, then those on no bus. */
function subjectsOf(checked: CheckedSite): DrawnSubject[] {
  const { site } = checked.open;
  const seen = new Set<string>();
  const errors = new Map<string, number>();
  for (const { finding } of checked.findings) {
    if (finding.severity === 'error' && finding.waived === null) {
      const owner = finding.subject.split('.')[0] ?? finding.subject;
      errors.set(owner, (errors.get(owner) ?? 0) + 1);
    }
  }
  const subjects: DrawnSubject[] = [];
  const add = (name: string, words: readonly string[], chain?: string) => {
    const device = site.devices.get(name);
    if (device === undefined || seen.has(name)) {
      return;
    }
    seen.add(name);
    const room = device.room === undefined ? undefined : site.rooms.get(device.room);
    const count = errors.get(name) ?? 0;
    const role =
      site.equipment.get(device.equipment)?.role.replaceAll('-', ' ') ?? device.equipment;
    subjects.push({
      place: markText(placeOf(name)),
      label: [
        name,
        role,
        ...(room === undefined ? [] : [room.area.title ?? room.area.name]),
        ...words,
        ...(count === 0 ? [] : [`${count} ${count === 1 ? 'error' : 'errors'}`]),
      ].join(', '),
      ...(chain === undefined ? {} : { chain }),
      ...(room === undefined ? {} : { area: room.area.name }),
    });
  };
  for (const bus of site.buses.values()) {
    bus.landings.forEach((landing, index) =>
      add(
        landing.device,
        [`bus ${bus.name} position ${index + 1} of ${bus.landings.length}`],
        bus.name,
      ),
    );
  }
  for (const device of site.devices.keys()) {
    add(device, []);
  }
  return subjects;
}
