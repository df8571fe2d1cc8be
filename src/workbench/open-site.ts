/** Opens a site: its file and all that it uses, directly or not, as one model. */
import type { LoweredDeclaration } from '../language/lower.js';
import {
  keyOf,
  NEAR_FILES,
  problemSpan,
  raisedFinding,
  type KeyedPiece,
} from '../language/validate.js';
import type { Finding } from '../model/finding.js';
import { placeOf, type DeclarationId, type Place } from '../model/origin.js';
import { buildSite, type Site, type SiteEntry } from '../model/site.js';
import type { FileContent, Files } from './files.js';
import { relativePath } from './editing/use-path.js';
import { nearNames } from './near-names.js';
import type { SourceFile, SourceFiles } from './source-file.js';

/** Where a declaration stands. */
export interface DeclaredAt {
  readonly file: SourceFile;
  /** Offset of its piece in the file. */
  readonly pieceStart: number;
  readonly declaration: LoweredDeclaration;
}

export interface OpenSite {
  /** The file that it was opened by. */
  readonly root: string;
  /** Every file it consists of, the root first, each once, in the order in which they are used. */
  readonly files: readonly SourceFile[];
  readonly site: Site;
  readonly pieces: readonly KeyedPiece[];
  /** What opening found: missing files, cycles. */
  readonly opening: readonly Finding[];
  readonly declaredAt: ReadonlyMap<DeclarationId, DeclaredAt>;
  /** Spans of problems that belong to no declaration, by key of their piece. */
  readonly pieceAt: ReadonlyMap<
    DeclarationId,
    { readonly file: SourceFile; readonly pieceStart: number; readonly piece: KeyedPiece }
  >;
  /** For each file, the files that its `use` lines name and that were read. */
  readonly uses: ReadonlyMap<string, readonly string[]>;
  /** The file that a `use` declaration names, where it was read. */
  readonly targetOfUse: ReadonlyMap<DeclarationId, string>;
}

export interface Location {
  readonly file: SourceFile;
  readonly start: number;
  readonly end: number;
}

/** Opens the site of a root file; undefined where the root itself cannot be read. */
export function openSite(
  root: string,
  files: Files,
  sources: SourceFiles,
): OpenSite | { readonly failed: FileContent } {
  const content = files.read(root);
  if (content.kind !== 'text') {
    return { failed: content };
  }
  const opened = new Map<string, SourceFile>();
  const open: string[] = [];
  const uses = new Map<string, string[]>();
  const targetOfUse = new Map<DeclarationId, string>();
  const opening: Finding[] = [];
  const entries: SiteEntry[] = [];
  const pieces: KeyedPiece[] = [];
  const declaredAt = new Map<DeclarationId, DeclaredAt>();
  const pieceAt = new Map<
    DeclarationId,
    { file: SourceFile; pieceStart: number; piece: KeyedPiece }
  >();

  const unique = (key: DeclarationId): DeclarationId => {
    let id = key;
    for (let number = 2; declaredAt.has(id); number++) {
      id = `${key}#${number}`;
    }
    return id;
  };

  const visit = (path: string, text: string): void => {
    const file = sources.read(path, text);
    opened.set(path, file);
    open.push(path);
    const usedHere: string[] = [];
    uses.set(path, usedHere);
    const later: { path: string; text: string }[] = [];
    file.pieces.forEach((piece, index) => {
      const ids = piece.lowered.declarations.map((declaration) => {
        const id = unique(keyOf(declaration.record));
        declaredAt.set(id, { file, pieceStart: piece.start, declaration });
        entries.push({ id, record: declaration.record });
        return id;
      });
      const ownId = `?${path}:${index}`;
      const keyed: KeyedPiece = { text: piece.text, lowered: piece.lowered, ids, ownId };
      pieces.push(keyed);
      pieceAt.set(ownId, { file, pieceStart: piece.start, piece: keyed });
      piece.lowered.declarations.forEach(({ record }, position) => {
        if (record.kind !== 'use') {
          return;
        }
        const at = placeOf(ids[position]!, 'path');
        if (!/^\.{0,2}\//u.test(record.path)) {
          opening.push(
            raisedFinding('template-unexpanded', record.path, {
              at,
              what: `"${record.path}" names a package, and packages are not read yet.`,
              why: 'What it declares is unknown to this site.',
              remedy:
                'Copy the file beside the site for now and use it by a path that starts with "./".',
            }),
          );
          return;
        }
        const target = files.resolve(path, record.path);
        if (open.includes(target)) {
          opening.push(
            raisedFinding('import-cycle', record.path, {
              at,
              what:
                target === path
                  ? 'This file uses itself.'
                  : `"${record.path}" uses this file, directly or not, so they use each other in a circle.`,
              why: 'It cannot be told which of them stands first.',
              remedy: 'Remove this line; the names of both files are known in the whole site.',
            }),
          );
          return;
        }
        const used = files.read(target);
        if (used.kind === 'text') {
          usedHere.push(target);
          targetOfUse.set(ids[position]!, target);
          if (!opened.has(target) && !later.some((one) => one.path === target)) {
            later.push({ path: target, text: used.text });
          }
        } else {
          const near = used.kind === 'missing' ? nearFiles(files, path, target) : [];
          opening.push(importFinding(record.path, used, at, near));
        }
      });
    });
    for (const one of later) {
      if (!opened.has(one.path)) {
        visit(one.path, one.text);
      }
    }
    open.pop();
  };
  visit(root, content.text);
  return {
    root,
    files: [...opened.values()],
    site: buildSite(entries),
    pieces,
    opening,
    declaredAt,
    pieceAt,
    uses,
    targetOfUse,
  };
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

/** Files that a path probably meant, as paths from the file that names it. */
function nearFiles(files: Files, from: string, target: string): readonly string[] {
  const known = files.list().filter((path) => path !== from);
  const sameName = known.filter((path) => nameIn(path) === nameIn(target));
  const near = [...new Set([...nearNames(target, known), ...sameName])];
  return near.slice(0, mostNearFiles).map((path) => relativePath(from, path));
}

const mostNearFiles = 3;

function nameIn(path: string): string {
  return path.slice(path.lastIndexOf('/') + 1);
}

function importFinding(
  path: string,
  content: FileContent,
  at: Place,
  near: readonly string[],
): Finding {
  if (content.kind === 'missing') {
    return {
      ...raisedFinding('import-missing', path, {
        at,
        what: `There is no file "${path}".`,
        why: 'What it declares is unknown to this site.',
        remedy:
          near.length > 0
            ? `Did you mean ${near.map((one) => `"${one}"`).join(' or ')}?`
            : 'Correct the path; it counts from the folder of this file.',
      }),
      facts: near.length > 0 ? [{ fact: NEAR_FILES, value: near, unit: '' }] : [],
    };
  }
  return raisedFinding('import-unreadable', path, {
    at,
    what:
      content.kind === 'folder'
        ? `"${path}" is a folder, not a file.`
        : `"${path}" cannot be read${content.kind === 'unreadable' ? `: ${content.why}` : ''}.`,
    why: 'What it declares is unknown to this site.',
    remedy:
      content.kind === 'folder'
        ? 'Name a file in it, one "use" line for each.'
        : 'Make the file readable, or correct the path.',
  });
}
