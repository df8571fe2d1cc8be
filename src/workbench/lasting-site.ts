/**
 * A site that stays open while its files are edited.
 *
 * Each file keeps its pieces; another text of it gives a window of pieces that went and came, which is
 * all that the store, the check and the imports hear of. The files are walked anew only where a `use`
 * line or a file that one names came, went or changed.
 */
import { Watch } from '../analysis/watch.js';
import type { ExpandedPart } from '../language/expand.js';
import type { LoweredDeclaration, LoweredPiece } from '../language/lower.js';
import { SiteCheck } from './site-check.js';
import { keyOf, type KeyedPiece } from '../language/validate.js';
import type { Finding } from '../model/finding.js';
import type { DeclarationId, PartPath, Place } from '../model/origin.js';
import type { Declaration } from '../model/records.js';
import type { Site } from '../model/site.js';
import { SiteStore, type StoredDeclaration, type TextWindow } from '../model/site-store.js';
import { Expansion, needsExpansion, originsWithin, statedPlace } from './expansion.js';
import type { FileContent, Files } from './files.js';
import type { DeclaredAt, LookUp, OpenSite, PieceAt } from './open-site.js';
import { walkFiles, type Walk } from './opening.js';
import { isOfPackage, type UsedPackage } from './package-walk.js';
import type { SourceFile, SourceFiles, SourcePiece } from './source-file.js';
import { isTemplate, unusedImports } from './unused-imports.js';

export class LastingSite implements OpenSite {
  readonly declaredAt: LookUp<DeclaredAt>;
  readonly pieceAt: LookUp<PieceAt> = { get: (key) => this.#pieceAt(key) };
  readonly #store = new SiteStore<DeclaredInText | ExpandedInText>(compareInModel);
  /** Missing as long as nothing has to be expanded. */
  #expansion: Expansion<DeclaredInText, ExpandedInText> | undefined;
  readonly #check: SiteCheck<PieceInSite>;
  /** For each piece, the other files of which it names something. */
  readonly #reaches: Watch<PieceInSite, readonly string[]>;
  readonly #reached = new ReachedFiles();
  readonly #files = new Map<string, FileInSite>();
  #inOrder: readonly FileInSite[] = [];
  #walk: Walk<DeclaredInText> | undefined;
  #opening: readonly Finding[] = [];
  #targetsOfUse: ReadonlyMap<DeclarationId, readonly string[]> = new Map();
  #pieces: readonly PieceInSite[] | undefined;
  /** Files whose text may be another; undefined where every file must be looked at. */
  #touched: Set<string> | undefined;

  constructor(
    readonly root: string,
    private readonly reader: Files,
    private readonly sources: SourceFiles,
  ) {
    this.declaredAt = { get: (id) => this.#store.declared(id) };
    this.#check = new SiteCheck<PieceInSite>({
      site: this.site,
      compare: comparePieces,
      pieceOf: (id) => this.#store.declared(id)?.piece,
      isOwn: (id) => this.#isOwnFile(this.#store.declared(id)?.within.path ?? ''),
    });
    this.#reaches = new Watch<PieceInSite, readonly string[]>(
      this.site,
      (piece) => this.#filesNamedIn(piece),
      (piece, paths) => {
        this.#reached.set(piece, paths);
      },
    );
  }

  get site(): Site {
    return this.#store.site;
  }

  get files(): readonly SourceFile[] {
    return this.#inOrder.map(({ source }) => source);
  }

  get pieces(): readonly KeyedPiece[] {
    this.#pieces ??= this.#inOrder.flatMap(({ pieces }) => pieces);
    return this.#pieces;
  }

  get opening(): readonly Finding[] {
    return this.#opening;
  }

  get uses(): ReadonlyMap<string, readonly string[]> {
    return this.#walk?.uses ?? new Map();
  }

  get targetsOfUse(): ReadonlyMap<DeclarationId, readonly string[]> {
    return this.#targetsOfUse;
  }

  get packages(): readonly UsedPackage[] {
    return this.#walk?.packages ?? [];
  }

  has(path: string): boolean {
    return this.#files.has(path);
  }

  /** Notes that a file may have another text. False where that does not matter to this site. */
  touch(path: string): boolean {
    if (this.#files.has(path)) {
      this.#touched?.add(path);
      return true;
    }
    // A file that came or went may be what a missing one was meant to be.
    if (this.#walk !== undefined && (this.#walk.named.has(path) || this.#walk.missing.size > 0)) {
      this.#touched = undefined;
      return true;
    }
    return false;
  }

  /** Notes that any file may have come, gone or changed. */
  touchAll(): void {
    this.#touched = undefined;
  }

  /** Follows the files; gives why there is no site where the root cannot be read. */
  refresh(): { readonly failed: FileContent } | undefined {
    if (this.#touched?.size === 0) {
      return undefined;
    }
    const isWalkDue = this.#touched === undefined || this.#readTouched(this.#touched);
    if (isWalkDue) {
      const content = this.reader.read(this.root);
      if (content.kind !== 'text') {
        return { failed: content };
      }
      this.#walkFrom(content.text);
    }
    this.#touched = new Set();
    this.#apply();
    if (isWalkDue && this.#walk !== undefined) {
      this.#opening = this.#walk.findings();
      this.#targetsOfUse = new Map([...this.#walk.targets].map(([line, to]) => [line.id, to]));
    }
    return undefined;
  }

  /** Every finding on a day (ISO), in order. */
  findings(on: string): readonly Finding[] {
    this.#reaches.refresh();
    const unused = unusedImports(this, {
      isOwn: (path) => this.#isOwnFile(path),
      isLibrary: (path) => this.#files.get(path)?.isLibrary ?? false,
      named: this.#reached.byFile,
    });
    return this.#check.findings(on, [...this.#opening, ...unused]);
  }

  /** Reads files again; true where the lines by which files are used may be others. */
  #readTouched(paths: ReadonlySet<string>): boolean {
    let isWalkDue = false;
    for (const path of paths) {
      const content = this.reader.read(path);
      const file = this.#files.get(path);
      if (content.kind !== 'text' || file === undefined) {
        return true;
      }
      file.become(this.sources.read(path, content.text));
      isWalkDue ||= file.hasOtherUses;
    }
    return isWalkDue;
  }

  #walkFrom(text: string): void {
    const read = (path: string, own: string): readonly DeclaredInText[] => {
      const source = this.sources.read(path, own);
      let file = this.#files.get(path);
      if (file === undefined) {
        file = new FileInSite(path);
        this.#files.set(path, file);
      }
      file.become(source);
      return file.useLines();
    };
    this.#walk = walkFiles({ path: this.root, text }, this.reader, read);
  }

  /** Tells the store and the check what went and came, file by file. */
  #apply(): void {
    const before = this.#inOrder;
    const now =
      this.#walk === undefined ? before : this.#walk.paths.map((path) => this.#files.get(path)!);
    const staysAt = keptPlaces(before, now);
    const windows: PieceWindow[] = [];
    for (const file of before) {
      if (!staysAt.has(file)) {
        windows.push({ gone: file.settled, come: [] });
      }
    }
    now.forEach((file, rank) => {
      file.rank = rank;
      if (!staysAt.has(file)) {
        windows.push({ gone: [], come: file.pieces });
      } else if (file.settled !== file.pieces) {
        windows.push(file.window());
      }
      file.settle();
    });
    const stays = new Set(now);
    for (const file of before) {
      if (!stays.has(file)) {
        this.#files.delete(file.path);
      }
    }
    this.#inOrder = now;
    this.#pieces = undefined;
    this.#change(windows);
  }

  #change(windows: readonly PieceWindow[]): void {
    const change = this.#store.change(
      this.#expanded(
        windows.map(({ gone, come }) => ({
          gone: gone.flatMap((piece) => piece.declared),
          come: come.flatMap((piece) => piece.declared),
        })),
      ),
    );
    const come = new Set(windows.flatMap((window) => window.come));
    const gone = windows.flatMap((window) => window.gone).filter((piece) => !come.has(piece));
    const moved = new Set(windows.flatMap((window) => window.gone));
    const added = [...come].filter((piece) => !moved.has(piece));
    for (const piece of gone) {
      this.#reaches.remove(piece);
      this.#reached.set(piece, nowhere);
    }
    for (const piece of added) {
      this.#reaches.add(piece);
    }
    const { renumbered = new Set<DeclarationId>() } = this.#expansion ?? {};
    this.#check.change(
      gone,
      added,
      renumbered.size === 0
        ? change
        : { ...change, renumbered: [...change.renumbered, ...renumbered] },
    );
  }

  #expanded(
    windows: readonly TextWindow<DeclaredInText>[],
  ): readonly TextWindow<DeclaredInText | ExpandedInText>[] {
    const isFirst =
      this.#expansion === undefined &&
      windows.some(({ come }) => come.some(({ record }) => needsExpansion(record)));
    if (!isFirst) {
      return this.#expansion?.change(windows) ?? windows;
    }
    this.#expansion = new Expansion({
      compare: compareDeclared,
      recordOf: (key) => this.#store.declared(key)?.record,
      make: (text, index, part) => new ExpandedInText(text, index, part),
    });
    const come = new Set(windows.flatMap((window) => window.come));
    const all = this.#inOrder.flatMap(({ pieces }) => pieces.flatMap((piece) => piece.declared));
    // What stood in the model until now stood for itself; what goes is first taken in, to go again.
    const gone = windows.flatMap((window) => window.gone);
    const stood = new Set([...gone, ...all.filter((one) => !come.has(one))]);
    this.#expansion.start([...stood]);
    return this.#expansion.change(windows);
  }

  #filesNamedIn(piece: PieceInSite): readonly string[] {
    const found = new Set<string>();
    for (const { references } of piece.lowered.declarations) {
      for (const { owner, name, scope } of references) {
        const isInner =
          scope !== undefined &&
          this.site.assemblies.get(scope)?.parts.some((part) => part.name === name) === true;
        const entry = owner === undefined && !isInner ? this.site.byName.get(name) : undefined;
        const to = entry && this.#store.declared(entry.id)?.within.path;
        if (to !== undefined && to !== piece.within.path) {
          found.add(to);
        }
      }
    }
    return found.size === 0 ? nowhere : [...found];
  }

  #isOwnFile(path: string): boolean {
    // A file that is opened alone and declares no site is a library: unused templates are its purpose.
    const isLoneLibrary = this.site.settings === undefined;
    return (
      path !== '' && !isLoneLibrary && isBelow(folderOf(this.root), path) && !isOfPackage(path)
    );
  }

  #pieceAt(key: DeclarationId): PieceAt | undefined {
    const [, path, index] = /^\?(.*):(\d+)$/su.exec(key) ?? [];
    const piece = path === undefined ? undefined : this.#files.get(path)?.pieces[Number(index)];
    return piece && { file: piece.within.source, pieceStart: piece.piece.start, piece };
  }
}

const nowhere: readonly string[] = [];

/** How many pieces of each file name something of each other file. */
class ReachedFiles {
  readonly byFile = new Map<string, Map<string, number>>();
  readonly #byPiece = new Map<PieceInSite, readonly string[]>();

  set(piece: PieceInSite, paths: readonly string[]): void {
    const from = piece.within.path;
    this.#byPiece.get(piece)?.forEach((path) => {
      this.#count(from, path, -1);
    });
    paths.forEach((path) => {
      this.#count(from, path, 1);
    });
    if (paths.length === 0) {
      this.#byPiece.delete(piece);
    } else {
      this.#byPiece.set(piece, paths);
    }
  }

  #count(from: string, to: string, by: number): void {
    const counts = this.byFile.get(from) ?? new Map<string, number>();
    const count = (counts.get(to) ?? 0) + by;
    if (count === 0) {
      counts.delete(to);
    } else {
      counts.set(to, count);
    }
    this.byFile.set(from, counts);
  }
}

interface PieceWindow {
  readonly gone: readonly PieceInSite[];
  readonly come: readonly PieceInSite[];
}

/** A file of the site with its pieces. */
class FileInSite {
  rank = 0;
  source!: SourceFile;
  pieces: readonly PieceInSite[] = [];
  /** The pieces that the site was last told of. */
  settled: readonly PieceInSite[] = [];

  constructor(readonly path: string) {}

  /** Takes another text; pieces that it shares with the present one are kept. */
  become(source: SourceFile): void {
    if (this.source === source) {
      return;
    }
    this.source = source;
    const old = this.pieces;
    const now = source.pieces;
    const most = Math.min(old.length, now.length);
    let start = 0;
    while (start < most && old[start]!.piece === now[start]) {
      start++;
    }
    let end = 0;
    while (end < most - start && old[old.length - 1 - end]!.piece === now[now.length - 1 - end]) {
      end++;
    }
    this.pieces = [
      ...old.slice(0, start),
      ...now.slice(start, now.length - end).map((piece) => new PieceInSite(this, piece)),
      ...old.slice(old.length - end),
    ];
  }

  settle(): void {
    this.settled = this.pieces;
  }

  /** What went and came since the site was last told. */
  window(): PieceWindow {
    const { settled, pieces } = this;
    const most = Math.min(settled.length, pieces.length);
    let start = 0;
    while (start < most && settled[start] === pieces[start]) {
      start++;
    }
    let end = 0;
    while (
      end < most - start &&
      settled[settled.length - 1 - end] === pieces[pieces.length - 1 - end]
    ) {
      end++;
    }
    return {
      gone: settled.slice(start, settled.length - end),
      come: pieces.slice(start, pieces.length - end),
    };
  }

  /** Whether a `use` line came or went since the site was last told. */
  get hasOtherUses(): boolean {
    const { gone, come } = this.window();
    return [...gone, ...come].some((piece) => piece.declared.some(isUse));
  }

  useLines(): readonly DeclaredInText[] {
    return this.pieces.flatMap((piece) => piece.declared.filter(isUse));
  }

  /** Whether it declares templates alone. */
  get isLibrary(): boolean {
    return this.pieces.every((piece) =>
      piece.lowered.declarations.every(({ record }) => isTemplate(record)),
    );
  }
}

function isUse({ record }: DeclaredInText): boolean {
  return record.kind === 'use';
}

/** A piece of a file of the site. */
class PieceInSite implements KeyedPiece {
  readonly declared: readonly DeclaredInText[];

  constructor(
    readonly within: FileInSite,
    readonly piece: SourcePiece,
  ) {
    this.declared = piece.lowered.declarations.map((one) => new DeclaredInText(this, one));
  }

  get text(): string {
    return this.piece.text;
  }

  get lowered(): LoweredPiece {
    return this.piece.lowered;
  }

  get ids(): readonly DeclarationId[] {
    return this.declared.map(({ id }) => id);
  }

  get ownId(): DeclarationId {
    return `?${this.within.path}:${this.piece.index}`;
  }
}

/** A declaration of the site where it stands. */
class DeclaredInText implements StoredDeclaration, DeclaredAt {
  id: DeclarationId = '';
  readonly ownKey: DeclarationId;

  constructor(
    readonly piece: PieceInSite,
    readonly declaration: LoweredDeclaration,
  ) {
    this.ownKey = keyOf(declaration.record);
  }

  get record(): Declaration {
    return this.declaration.record;
  }

  get within(): FileInSite {
    return this.piece.within;
  }

  get file(): SourceFile {
    return this.within.source;
  }

  get pieceStart(): number {
    return this.piece.piece.start;
  }

  /** What a `use` line names. */
  get path(): string {
    return this.record.kind === 'use' ? this.record.path : '';
  }
}

/** A declaration of the model that the text of another stands for. */
class ExpandedInText implements StoredDeclaration, DeclaredAt {
  id: DeclarationId = '';
  readonly ownKey: DeclarationId;
  readonly record: Declaration;

  constructor(
    readonly source: DeclaredInText,
    readonly index: number,
    private readonly part: ExpandedPart,
  ) {
    this.ownKey = part.key ?? source.ownKey;
    this.record = part.record;
  }

  get piece(): PieceInSite {
    return this.source.piece;
  }

  get within(): FileInSite {
    return this.source.within;
  }

  get file(): SourceFile {
    return this.source.file;
  }

  get pieceStart(): number {
    return this.source.pieceStart;
  }

  /** For what stands in an instance: the text of the instance, of which no part is its own but what it states. */
  get declaration(): LoweredDeclaration {
    const { declaration, ownKey } = this.source;
    return this.part.key === undefined
      ? declaration
      : {
          record: this.record,
          origins: originsWithin(declaration, ownKey, this.part.stated),
          references: [],
          slots: [],
        };
  }

  templatePlaces(path: PartPath): readonly Place[] {
    const [first, ...others] = this.part.template;
    if (first === undefined) {
      return [];
    }
    const stated = statedPlace(this.part.stated, path);
    const inner = path === '' || path === 'name' ? 'name' : path;
    return stated !== undefined ? [] : [{ ...first, part: `${first.part}/${inner}` }, ...others];
  }
}

/** In the order of the text, and what one declaration stands for in the order of its template. */
function compareInModel(
  one: DeclaredInText | ExpandedInText,
  other: DeclaredInText | ExpandedInText,
): number {
  return compareDeclared(textOf(one), textOf(other)) || indexOf(one) - indexOf(other);
}

function textOf(declared: DeclaredInText | ExpandedInText): DeclaredInText {
  return declared instanceof ExpandedInText ? declared.source : declared;
}

function indexOf(declared: DeclaredInText | ExpandedInText): number {
  return declared instanceof ExpandedInText ? declared.index : 0;
}

function comparePieces(one: PieceInSite, other: PieceInSite): number {
  return one.within.rank - other.within.rank || one.piece.index - other.piece.index;
}

function compareDeclared(one: DeclaredInText, other: DeclaredInText): number {
  return (
    comparePieces(one.piece, other.piece) ||
    one.piece.declared.indexOf(one) - other.piece.declared.indexOf(other)
  );
}

/** The files that stand before and behind the same others as before, so that no order changed. */
function keptPlaces(
  before: readonly FileInSite[],
  now: readonly FileInSite[],
): ReadonlySet<FileInSite> {
  const present = new Set(now);
  const known = new Set(before);
  const left = before.filter((file) => present.has(file));
  const right = now.filter((file) => known.has(file));
  let start = 0;
  while (start < left.length && left[start] === right[start]) {
    start++;
  }
  let end = 0;
  while (
    end < left.length - start &&
    left[left.length - 1 - end] === right[right.length - 1 - end]
  ) {
    end++;
  }
  return new Set([...left.slice(0, start), ...left.slice(left.length - end)]);
}

function folderOf(path: string): string {
  return path.slice(0, path.lastIndexOf('/') + 1);
}

/** A file beside the folder can start with the same letters: `../shared.ferrule` and the folder of `site.ferrule`. */
function isBelow(folder: string, path: string): boolean {
  return path.startsWith(folder) && !path.slice(folder.length).startsWith('../');
}
