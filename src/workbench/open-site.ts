/** A site that is open: its file and all that it uses, directly or not, as one model. */
import type { LoweredDeclaration } from '../language/lower.js';
import { problemSpan, type KeyedPiece } from '../language/validate.js';
import type { Finding } from '../model/finding.js';
import type { DeclarationId, PartPath, Place } from '../model/origin.js';
import type { Site } from '../model/site.js';
import type { UsedPackage } from './package-walk.js';
import type { SourceFile } from './source-file.js';

/** Where a declaration stands. */
export interface DeclaredAt {
  readonly file: SourceFile;
  /** Offset of its piece in the file. */
  readonly pieceStart: number;
  readonly declaration: LoweredDeclaration;
  /** For a part of what stands in an instance: where templates say it, the innermost first. */
  templatePlaces?(path: PartPath): readonly Place[];
}

/** Where a piece stands. */
export interface PieceAt {
  readonly file: SourceFile;
  readonly pieceStart: number;
  readonly piece: KeyedPiece;
}

/** Looks something up by its key. */
export interface LookUp<Value> {
  get(key: DeclarationId): Value | undefined;
}

/** It follows the text: after an edit the same object gives what the new text says. */
export interface OpenSite {
  /** The file that it was opened by. */
  readonly root: string;
  /** Every file it consists of, the root first, each once, in the order in which they are used. */
  readonly files: readonly SourceFile[];
  readonly site: Site;
  readonly pieces: readonly KeyedPiece[];
  /** What opening found: missing files, cycles. */
  readonly opening: readonly Finding[];
  readonly declaredAt: LookUp<DeclaredAt>;
  /** Pieces by their own key, under which problems stand that belong to no declaration. */
  readonly pieceAt: LookUp<PieceAt>;
  /** For each file, the files that its `use` lines name and that were read. */
  readonly uses: ReadonlyMap<string, readonly string[]>;
  /** The files that a `use` declaration names, where they were read: a package may bring several. */
  readonly targetsOfUse: ReadonlyMap<DeclarationId, readonly string[]>;
  /** The packages that it uses, by name. */
  readonly packages: readonly UsedPackage[];
}

export interface Location {
  readonly file: SourceFile;
  readonly start: number;
  readonly end: number;
}

/** The text span of a place; undefined where the text no longer has it. */
export function locate(site: OpenSite, place: Place): Location | undefined {
  const declared = site.declaredAt.get(place.declaration);
  if (declared !== undefined) {
    const span = spanOf(declared.declaration, place.part);
    return (
      span && {
        file: declared.file,
        start: declared.pieceStart + span.start,
        end: declared.pieceStart + span.end,
      }
    );
  }
  const piece = site.pieceAt.get(place.declaration);
  const span = piece && problemSpan(piece.piece.lowered.problems, place.part);
  return (
    piece &&
    span && {
      file: piece.file,
      start: piece.pieceStart + span.start,
      end: piece.pieceStart + span.end,
    }
  );
}

/** The span of a part, or of the nearest part that contains it. */
function spanOf(
  declaration: LoweredDeclaration,
  part: string,
): { start: number; end: number } | undefined {
  const reference = /^reference\/(\d+)$/u.exec(part);
  if (reference !== null) {
    return declaration.references[Number(reference[1])];
  }
  for (let path = part; path !== ''; path = path.slice(0, Math.max(0, path.lastIndexOf('/')))) {
    const span = declaration.origins.get(path);
    if (span !== undefined) {
      return span;
    }
  }
  return declaration.origins.get('name') ?? declaration.origins.get('');
}
