/**
 * The façade that every door uses: files in; model, findings, facts, drawings and documents out.
 *
 * Nothing here reads a clock, a disk or an editor: files and the date come from the door.
 */
import type { Finding } from '../model/finding.js';
import type { FileRange, LocatedFinding } from '../model/located.js';
import type { Place } from '../model/origin.js';
import { ruleContext } from '../language/validate.js';
import type { FileContent, Files } from './files.js';
import { LastingSite } from './lasting-site.js';
import { locate, type OpenSite } from './open-site.js';
import { rangeOf, SourceFiles } from './source-file.js';

/** A site that was opened and judged on a day. */
export interface CheckedSite {
  readonly open: OpenSite;
  readonly on: string;
  /** Located, in text order within each file, the root file first. */
  readonly findings: readonly LocatedFinding[];
}

/** A folder with more sites than this is gone through, not kept: each open site takes memory. */
const MOST_LEFT_OPEN = 50;

export class Workbench {
  private readonly sources = new SourceFiles();
  private readonly overlays = new Map<string, string>();
  private readonly opened = new Map<string, LastingSite>();
  private readonly checked = new Map<string, CheckedSite>();
  /** Whether a file declares a site, until its text changes. */
  private readonly looked = new Map<string, boolean>();

  constructor(private readonly files: Files) {}

  /** The text of a file that is open in an editor; it counts instead of the stored one. */
  setText(path: string, text: string): void {
    if (this.overlays.get(path) !== text) {
      this.overlays.set(path, text);
      this.looked.delete(path);
      this.touchSitesWith(path);
    }
  }

  /** Goes back to the stored text. */
  clearText(path: string): void {
    if (this.overlays.delete(path)) {
      this.looked.delete(path);
      this.touchSitesWith(path);
    }
  }

  /** A stored file appeared, changed or went. */
  fileChanged(path: string): void {
    this.sources.forget(path);
    this.looked.delete(path);
    this.opened.forEach((site) => {
      site.touchAll();
    });
    this.checked.clear();
  }

  /** Every file that is known, stored or open, in a stable order. */
  paths(): readonly string[] {
    return [...new Set([...this.files.list(), ...this.overlays.keys()])].sort();
  }

  /** A file's text, or why there is none. */
  read(path: string): FileContent {
    const overlay = this.overlays.get(path);
    return overlay === undefined ? this.files.read(path) : { kind: 'text', text: overlay };
  }

  /** The site of a root file, or why it cannot be opened. */
  open(root: string): OpenSite | { readonly failed: FileContent } {
    let site = this.opened.get(root);
    if (site === undefined) {
      const files: Files = {
        read: (path) => this.read(path),
        resolve: this.files.resolve,
        ...(this.files.real === undefined ? {} : { real: this.files.real }),
        list: () => this.paths(),
      };
      site = new LastingSite(root, files, this.sources);
      this.opened.set(root, site);
    }
    const failure = site.refresh();
    if (failure !== undefined) {
      this.opened.delete(root);
      this.checked.delete(root);
    }
    return failure ?? site;
  }

  /**
   * The roots of the sites that a file belongs to: site files that use it, or the file itself where no
   * site does. A library file is judged in every site that uses it.
   */
  rootsOf(path: string): readonly string[] {
    return this.rootsOfAll([path]);
  }

  /** The same for many files at once, each root once: each site is looked through once for all of them. */
  rootsOfAll(paths: Iterable<string>): readonly string[] {
    const wanted = new Set(paths);
    const homeless = new Set(wanted);
    const roots = this.siteRoots().filter((root) => {
      const site = this.open(root);
      const files = 'failed' in site ? [] : site.files.filter((file) => wanted.has(file.path));
      files.forEach((file) => homeless.delete(file.path));
      return files.length > 0;
    });
    return [...roots, ...homeless];
  }

  /**
   * Every root that is known: the sites, and the files that none of them uses. Each site is opened once,
   * so that a folder of many takes time in proportion.
   */
  roots(): readonly string[] {
    const paths = this.paths();
    const sites = this.siteRoots();
    if (sites.length === paths.length) {
      return sites;
    }
    const used = new Set(sites);
    for (const root of sites) {
      const isOpen = this.opened.has(root);
      const site = this.open(root);
      if (!('failed' in site)) {
        site.files.forEach((file) => used.add(file.path));
      }
      if (!isOpen && sites.length > MOST_LEFT_OPEN) {
        this.close(root);
      }
    }
    return [...sites, ...paths.filter((path) => !used.has(path))].sort();
  }

  /** Forgets an open site; what its files say is kept. */
  close(root: string): void {
    this.opened.delete(root);
    this.checked.delete(root);
  }

  /** Files with a `site` declaration, in a stable order. */
  siteRoots(): readonly string[] {
    return this.paths().filter((path) => this.opensSite(path));
  }

  /** Judges a site on a day (ISO). Undefined where the root cannot be read. */
  check(root: string, on: string): CheckedSite | undefined {
    const known = this.checked.get(root);
    if (known !== undefined && known.on === on) {
      return known;
    }
    const open = this.open(root);
    if (!(open instanceof LastingSite)) {
      return undefined;
    }
    const findings = open.findings(on).map((finding) => located(open, finding));
    const checked: CheckedSite = { open, on, findings: inTextOrder(open, findings) };
    this.checked.set(root, checked);
    return checked;
  }

  /** Asks something as if some files had other texts; afterwards everything is as it was. */
  tried<Answer>(texts: ReadonlyMap<string, string>, ask: () => Answer): Answer {
    const before = [...texts.keys()].map((path) => [path, this.overlays.get(path)] as const);
    try {
      texts.forEach((text, path) => this.setText(path, text));
      return ask();
    } finally {
      for (const [path, overlay] of before) {
        if (overlay === undefined) {
          this.clearText(path);
        } else {
          this.setText(path, overlay);
        }
      }
      // Whoever holds an open site sees it change, so it is brought back at once.
      this.opened.forEach((site) => site.refresh());
    }
  }

  private touchSitesWith(path: string): void {
    for (const [root, site] of this.opened) {
      if (site.touch(path)) {
        this.checked.delete(root);
      }
    }
  }

  private opensSite(path: string): boolean {
    let opensSite = this.looked.get(path);
    if (opensSite === undefined) {
      const content = this.read(path);
      opensSite = content.kind === 'text' && this.declaresSite(path, content.text);
      this.looked.set(path, opensSite);
    }
    return opensSite;
  }

  private declaresSite(path: string, text: string): boolean {
    return this.sources.has(path)
      ? this.sources.read(path, text).pieces.some((piece) => piece.opensSite)
      : /^site[ \t]/mu.test(text);
  }
}

/** What rules need to know beside the site, for running one of them on its own. */
export { ruleContext };

/** The place of something in a file, as editors count; undefined where the text no longer has it. */
export function fileRangeOf(open: OpenSite, place: Place): FileRange | undefined {
  const location = locate(open, place);
  return (
    location && {
      file: location.file.path,
      range: rangeOf(location.file, location.start, location.end),
    }
  );
}

function located(open: OpenSite, finding: Finding): LocatedFinding {
  const root = open.files[0]!;
  const at = fileRangeOf(open, finding.at) ?? { file: root.path, range: rangeOf(root, 0, 0) };
  const templates = open.declaredAt.get(finding.at.declaration)?.templatePlaces?.(finding.at.part);
  const inTemplates = (templates ?? []).map((place) => ({
    at: place,
    message: `This line of the assembly ${place.declaration} says it.`,
  }));
  const related = [...finding.related, ...inTemplates].flatMap((one) => {
    const range = fileRangeOf(open, one.at);
    return range === undefined ? [] : [{ ...range, message: one.message }];
  });
  return { finding, at, related };
}

function inTextOrder(open: OpenSite, findings: readonly LocatedFinding[]): LocatedFinding[] {
  const rank = new Map(open.files.map((file, index) => [file.path, index]));
  return [...findings].sort(
    (one, other) =>
      (rank.get(one.at.file) ?? 0) - (rank.get(other.at.file) ?? 0) ||
      one.at.range.start.line - other.at.range.start.line ||
      one.at.range.start.character - other.at.range.start.character,
  );
}
