/** The job pack: every document of a site as a value, and all of it as files. */
import type { DrawList } from '../drawing/index.js';
import type { Finding } from '../model/finding.js';
import type { Site } from '../model/site.js';
import { addressPlan } from './addressing/address-plan.js';
import { ipPlan } from './addressing/ip-plan.js';
import { calculations } from './calculations/calculations.js';
import { commissioningSheet } from './commissioning/commissioning-sheet.js';
import { cover } from './cover/cover.js';
import { frameOf } from './cover/status.js';
import type { Block, Document, DocumentLink, Frame } from './document.js';
import { phraseOf } from './document.js';
import { labels } from './labels/labels.js';
import { materialList } from './material/material-list.js';
import { orderOfWork } from './procedure/order-of-work.js';
import { renderCsv } from './render/csv.js';
import { fileNames } from './render/file-names.js';
import { renderMarkdown } from './render/markdown.js';
import { cableSchedule } from './schedule/cable-schedule.js';
import { connectionSchedule } from './schedule/connection-schedule.js';
import type { Phase } from './schedule/connection-rows.js';
import { terminalTests } from './testing/terminal-tests.js';
import { coverTexts } from './texts/cover.js';
import { aboutTexts } from './texts/about.js';

/** A drawing that the caller made: `topology`, or `terminals-` and the name of a bus or feed. */
export interface PackDrawing {
  readonly name: string;
  readonly svg: string;
  /** The same picture for other writers; left out where nobody needs them. */
  readonly list?: DrawList;
}

export interface PackInput {
  readonly findings: readonly Finding[];
  /** ISO date for which the pack is made. */
  readonly on: string;
  readonly drawings: readonly PackDrawing[];
  /** What changed since the revision before, for the cover; left out where nobody compared. */
  readonly changes?: readonly Block[];
  /** What the schedules list; everything where left out. Material is always what is new. */
  readonly phase?: Phase;
}

/** A pack before any text form. */
export interface Pack {
  readonly frame: Frame;
  /** The cover first, then in the order in which they are used. */
  readonly documents: readonly Document[];
  readonly drawings: readonly (PackDrawing & { readonly title: string; readonly path: string })[];
}

/** A file of a pack: a relative path with `/`, below the pack's folder, each once. */
export interface PackFile {
  readonly path: string;
  readonly text: string;
}

/** The pack as files: documents as Markdown, their tables as CSV, drawings as handed in. */
export function packOf(site: Site, input: PackInput): readonly PackFile[] {
  return filesOf(packValue(site, input));
}

/** A pack as files of text. */
export function filesOf({ frame, documents, drawings }: Pack): readonly PackFile[] {
  return [
    ...documents.map((document) => ({
      path: documentPath(document),
      text: renderMarkdown(document, frame),
    })),
    ...drawings.map(({ path, svg }) => ({ path, text: svg })),
    ...documents.flatMap((document) =>
      renderCsv(document, frame).map(({ name, text }) => ({ path: `data/${name}.csv`, text })),
    ),
  ];
}

/** The pack as values, for renderers of other forms. */
export function packValue(site: Site, input: PackInput): Pack {
  const { findings, on } = input;
  const phase = input.phase ?? 'all';
  const frame = frameOf(site, findings, on);
  const paths = fileNames(input.drawings.map((drawing) => drawing.name)).map(
    (name) => `drawings/${name}.svg`,
  );
  const drawings = input.drawings.map((drawing, index) => ({
    ...drawing,
    title: coverTexts.drawingTitle(drawing.name),
    path: paths[index]!,
  }));
  const sheetOf = (circuit: string): string =>
    drawings.find(({ name }) => name === `terminals-${circuit}`)?.path ?? '';
  const documents = [
    connectionSchedule(site, phase, sheetOf),
    cableSchedule(site, phase),
    materialList(site),
    calculations(site),
    addressPlan(site),
    ipPlan(site, on),
    orderOfWork(site),
    terminalTests(site, phase),
    commissioningSheet(site),
    labels(site, phase),
  ];
  const first = cover(site, {
    frame,
    findings,
    phase,
    changes: input.changes,
    documents: documents.map((document) => ({ document, link: linkTo(document) })),
    drawings: drawings.map(({ title, path }) => ({ title, path })),
  });
  return {
    frame,
    documents: [first, ...documents],
    drawings,
  };
}

function linkTo(document: Document): DocumentLink {
  return {
    path: documentPath(document),
    title: document.title,
    about: phraseOf(aboutTexts[document.id] ?? ''),
  };
}

function documentPath(document: Document): string {
  return `${document.id}.md`;
}
