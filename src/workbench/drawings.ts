/** Drawings as an editor shows them: with where to click, what to say, and what the picture lacks. */
import {
  placeOfMark,
  type Drawing,
  type DrawnSubject,
  type LayoutMemory,
  type Theme,
} from '../drawing/index.js';
import { messageOf } from '../model/finding.js';
import type { FileRange, LocatedFinding } from '../model/located.js';
import type { OpenSite } from './open-site.js';
import { drawingOf, runNames } from './outputs.js';
import { fileRangeOf, type CheckedSite } from './workbench.js';

export interface EditorDrawingRequest {
  readonly view: 'topology' | 'terminals' | 'power' | 'ip';
  /** The bus or feed of a terminals view. */
  readonly of?: string | undefined;
  /** What the last picture of this site remembers, so that an edit moves little. */
  readonly memory?: LayoutMemory | undefined;
  readonly theme?: Theme | undefined;
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
  readonly findings: readonly {
    readonly number: number;
    readonly place: string;
    readonly located: LocatedFinding;
  }[];
}

/** Draws a site for an editor. Never throws because of the text: what cannot be drawn is a sentence. */
export function editorDrawingOf(checked: CheckedSite, request: EditorDrawingRequest): SiteDrawing {
  const { site } = checked.open;
  const name = site.settings?.title ?? site.settings?.name ?? 'Site without a name';
  if (site.devices.size + site.boards.size === 0) {
    return nothing(name, 'There is no device in this site yet.');
  }
  const options = { previous: request.memory, theme: request.theme };
  const { view } = request;
  if (view !== 'terminals') {
    return drawn(checked, `${name}, ${VIEW_NAMES[view]}`, drawingOf(checked, { view }, options));
  }
  const of = request.of ?? runNames(checked.open)[0];
  if (of === undefined) {
    return nothing(name, 'There is no bus and no feed in this site yet.');
  }
  const drawing = drawingOf(checked, { view: 'terminals', of }, options);
  return { ...drawn(checked, `${name}, terminals of ${of}`, drawing), of };
}

const VIEW_NAMES = { topology: 'topology', power: 'power', ip: 'IP addresses' } as const;

/** The text of what is drawn at a place. */
export function drawnAt(open: OpenSite, place: string): FileRange | undefined {
  return fileRangeOf(open, placeOfMark(place));
}

function drawn(checked: CheckedSite, title: string, drawing: Drawing | undefined): SiteDrawing {
  if (drawing === undefined) {
    return nothing(title, 'This cannot be drawn: there is no bus or feed of that name.');
  }
  const problem = problemOf(checked);
  return {
    title,
    svg: drawing.svg,
    ...(problem === undefined ? {} : { problem }),
    ...(drawing.memory === undefined ? {} : { memory: drawing.memory }),
    subjects: drawing.subjects,
    findings: drawing.findings.map(({ number, index, place }) => ({
      number,
      place,
      located: checked.findings[index]!,
    })),
  };
}

function nothing(title: string, problem: string): SiteDrawing {
  return { title, svg: null, problem, subjects: [], findings: [] };
}

/** Says what the picture lacks while part of the text cannot be read. */
function problemOf(checked: CheckedSite): string | undefined {
  const unread = checked.findings.filter(({ finding }) => finding.rule === 'syntax-error');
  const first = unread[0];
  if (first === undefined) {
    return undefined;
  }
  const more = unread.length === 1 ? '' : ` (and ${unread.length - 1} more)`;
  return `The picture lacks what cannot be read: ${messageOf(first.finding)}${more}`;
}
