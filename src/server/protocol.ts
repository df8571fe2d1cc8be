/**
 * What the Ferrule server speaks beyond the Language Server Protocol: types only, so that a client
 * may import this file without importing the server.
 *
 * - Positions and ranges are those of the protocol: lines and characters count from 0, characters
 *   in UTF-16 units, the end of a range is exclusive.
 * - A *revision* counts the server's re-checks. It only grows while one server process lives.
 * - A *place* is an opaque string that names something drawn. It stands in the picture as
 *   `data-place`, several elements may carry the same one, and it stays the same from picture to
 *   picture as long as the drawn thing keeps its name.
 */
export interface FerruleRequests {
  /** The drawing of a site, or why there is none. Never fails because of the text. */
  'ferrule/drawing': { params: DrawingParams; result: DrawingResult };
  /** Where the text says what is drawn at a place; null when it is no longer there. */
  'ferrule/locate': { params: LocateParams; result: TextPlace | null };
  /** What the text at a position is about; null between declarations and in comments. */
  'ferrule/subjectAt': { params: SubjectAtParams; result: Subject | null };
  /** All files of a job pack, as text. The client writes them: whole or not at all. */
  'ferrule/pack': { params: PackParams; result: PackResult };
  /** How far the commissioning of a site is, area by area. */
  'ferrule/progress': { params: ProgressParams; result: ProgressResult };
  /** What a hover says about a drawn or written name; null where nothing has it. */
  'ferrule/describe': { params: DescribeParams; result: DescribeResult | null };
  /** The text of a page with the scheme `ferrule-doc`: a rule's page, the calculation behind a value. */
  'ferrule/document': { params: DocumentParams; result: DocumentResult };
  /** Lines of a table (columns parted by tabs) as devices, ready to be put in. Changes nothing itself. */
  'ferrule/paste': { params: PasteParams; result: PasteResult };
  /** What a site consists of, one level of a tree after the other. */
  'ferrule/siteTree': { params: SiteTreeParams; result: SiteTreeResult };
  /** The files of a new site. The client writes them where nothing stands in the way. */
  'ferrule/newSite': { params: NewSiteParams; result: NewSiteResult };
}

export interface FerruleNotifications {
  /** After each re-check, whether or not a finding changed. */
  'ferrule/changed': ChangedParams;
}

export type DrawingView = 'topology' | 'terminals' | 'power' | 'ip';

export type DrawingTheme = 'light' | 'dark' | 'high-contrast-light' | 'high-contrast-dark';

export interface DrawingParams {
  /** Any file of the site. */
  uri: string;
  view: DrawingView;
  /** Name of the bus or feed for the terminals view. Wins over `position`. */
  of?: string;
  /** The bus or feed for the terminals view is the one at this position in `uri`. */
  position?: Position;
  /** Fixed colours; where left out the picture follows the theme of the page that shows it. */
  theme?: DrawingTheme;
}

export interface DrawingResult {
  revision: number;
  /** Tells sites apart: the same for every file of one site. */
  site?: string;
  /** The title of the picture, for example "Quillbrook Public Library, topology". */
  title: string;
  /** Name of the bus or feed that a terminals view shows. */
  of?: string;
  /**
   * One `<svg>` element with `viewBox`; null when nothing can be drawn. Elements that stand for
   * something in the text carry `data-place`, `data-name` and `aria-label`; the pieces of a bus or
   * feed carry its name, the members of a device its name, a dot and theirs. No scripts, no links,
   * no markup from the user's text.
   */
  svg: string | null;
  /**
   * A sentence for the banner: why there is no picture, or what the picture lacks while the text
   * has errors. With `svg` null the client keeps the last good picture under the banner.
   */
  problem?: string;
  /** What the keyboard walks through, in reading order. Left out: the order in the picture. */
  subjects?: DrawnSubject[];
  /** Findings in the picture with the numbers shown there. */
  findings?: DrawnFinding[];
}

/** Something in the picture that can have the focus. */
export interface DrawnSubject {
  place: string;
  /** "FC-2-03, indoor unit, Level 2, bus field-2 position 4 of 11, 1 error". */
  label: string;
  /** Left and right walk along the subjects of one chain, in this list's order. */
  chain?: string;
  /** Page keys walk from area to area. */
  area?: string;
}

export interface DrawnFinding {
  /** As in the picture, from 1. */
  number: number;
  rule: string;
  severity: 'error' | 'warning' | 'hint';
  message: string;
  /** Where it stands in the picture; left out when nothing drawn carries it. */
  place?: string;
  /** Where it stands in the text. */
  uri: string;
  range: Range;
}

export interface ProgressParams {
  /** Any file of the site. */
  uri: string;
}

export interface ProgressResult {
  revision: number;
  /** In text order; empty where the file belongs to no site. */
  areas: AreaProgress[];
}

export interface AreaProgress {
  /** Null for what stands in no area. */
  title: string | null;
  /** In the order of the commissioning sheet. */
  tasks: CommissioningTask[];
}

export interface CommissioningTask {
  /** "voltage at FC-1-01.mains". */
  text: string;
  /** Seen as expected, seen otherwise, or not looked at yet. */
  state: 'found' | 'missing' | 'open';
  /** Where the text speaks of it. */
  uri?: string;
  range?: Range;
}

export interface LocateParams {
  /** Any file of the site. */
  uri: string;
  place: string;
}

export interface SubjectAtParams {
  uri: string;
  position: Position;
}

export interface Subject {
  /** As written, and as `data-name` in the picture: "FC-1-03", "field-1". */
  name: string;
  kind: 'device' | 'bus' | 'feed' | 'board' | 'area' | 'room' | 'network' | 'other';
  /** What to highlight in the picture, together with everything that carries the name. */
  place: string;
  /** The bus or feed that the position is in, or the subject itself when it is one. */
  run?: string;
}

export interface PackParams {
  /** Any file of the site. */
  uri: string;
  /** The day the pack is made for, `2026-11-25`. Today where left out. */
  on?: string;
}

export interface PackResult {
  revision: number;
  /** A folder name to suggest, for example "Quillbrook-Public-Library-pack". */
  folder: string;
  /** Paths are relative, with `/`, never leave the folder, and each stands once. */
  files: PackFile[];
  /** Why there is no pack; `files` is empty then. */
  problem?: string;
}

export interface PackFile {
  path: string;
  text: string;
}

export interface DescribeParams {
  /** Any file of the site. */
  uri: string;
  /** As `data-name` in the picture: "FC-1-03", "FC-1-03.field". */
  name: string;
}

export interface DescribeResult {
  /** Markdown. */
  text: string;
}

export interface DocumentParams {
  /** `ferrule-doc:/rule/bus-too-long.md`, or `ferrule-doc:/value/field-1.total-length.md?<root>`. */
  uri: string;
}

export interface DocumentResult {
  /** Markdown; null where the address names nothing. */
  text: string | null;
  /** Why there is no text. */
  problem?: string;
}

export interface PasteParams {
  uri: string;
  /** The devices are written before the declaration in which this stands, or behind the last one. */
  position: Position;
  /** The table as a spreadsheet puts it on the clipboard. */
  text: string;
}

export interface PasteResult {
  /** What to change in `uri`; empty where no line was understood. */
  edits: { range: Range; newText: string }[];
  /** Names of the devices in `edits`. */
  devices: string[];
  /** Every line of the table that gives no device, or from which something was left out. */
  left: { line: number; text: string; why: string }[];
}

export interface SiteTreeParams {
  /** Any file of the site. */
  uri: string;
  /** Of which group or area; the groups where left out. */
  below?: { kind: 'group'; name: SiteGroup } | { kind: 'area'; name: string };
}

export type SiteGroup = 'areas' | 'elsewhere' | 'buses' | 'supplies' | 'networks';

export interface SiteTreeResult {
  revision: number;
  /** One level; groups that hold anything, in a fixed order. Empty where the file cannot be read. */
  nodes: SiteNode[];
}

export interface SiteNode {
  /** As written; of a group its `SiteGroup`. */
  name: string;
  kind: 'group' | 'area' | 'board' | 'bus' | 'device' | 'feed' | 'network';
  /** Totals, equipment or title; of a group how many it has. Empty where there is nothing to say. */
  detail: string;
  /** Findings that nobody accepted, with those below it. */
  errors: number;
  warnings: number;
  /** Where it is declared; left out for groups. */
  uri?: string;
  range?: Range;
  hasChildren: boolean;
}

export interface NewSiteParams {
  /** What the folder of the site is called; names of the site follow from it. */
  name: string;
}

export interface NewSiteResult {
  /** Relative paths with `/`, in the order in which to write them. */
  files: PackFile[];
  /** The path of the site file, one of `files`. */
  site: string;
}

export interface ChangedParams {
  revision: number;
  /** Every file of the sites that were checked again. */
  uris: string[];
}

export interface TextPlace {
  uri: string;
  range: Range;
}

export interface Range {
  start: Position;
  end: Position;
}

export interface Position {
  line: number;
  character: number;
}
