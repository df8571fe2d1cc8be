/**
 * The findings of a site that changes in place. They are those of `validate`; after an edit only names
 * and declarations are looked at again of which something that they rest on has changed.
 */
import { Watch } from '../analysis/watch.js';
import type { Finding } from '../model/finding.js';
import type { DeclarationId } from '../model/origin.js';
import type { Site } from '../model/site.js';
import type { SiteChange } from '../model/site-store.js';
import { Cell, TrackedSet } from '../model/tracking.js';
import { evaluate } from '../rules/evaluate.js';
import { LastingVerdicts } from '../rules/support/lasting-verdicts.js';
import { damageOf, NOTHING_UNREAD, unreadOf, type Unread } from '../language/unread.js';
import {
  raisedFindings,
  unknownNamesIn,
  type KeyedPiece,
  type LocatedUnknown,
} from '../language/validate.js';

export interface SiteCheckOptions<Piece extends KeyedPiece> {
  readonly site: Site;
  /** Which of two pieces stands first in the text, as the text is now. */
  readonly compare: (one: Piece, other: Piece) => number;
  /** The piece that a key is declared in. */
  readonly pieceOf: (id: DeclarationId) => Piece | undefined;
  readonly isOwn: (id: DeclarationId) => boolean;
}

export class SiteCheck<Piece extends KeyedPiece> {
  readonly #unread = new LastingUnread();
  readonly #verdicts: LastingVerdicts;
  readonly #names: Watch<Piece, readonly LocatedUnknown[]>;
  readonly #unknown = new Map<Piece, readonly LocatedUnknown[]>();
  /** Pieces that could not be read whole. */
  readonly #troubled = new Set<Piece>();

  constructor(private readonly options: SiteCheckOptions<Piece>) {
    const { site } = options;
    this.#verdicts = new LastingVerdicts(site, options.isOwn);
    this.#names = new Watch<Piece, readonly LocatedUnknown[]>(
      site,
      (piece) => unknownNamesIn(site, piece, this.#unread),
      (piece, unknown) => {
        if (unknown.length === 0) {
          this.#unknown.delete(piece);
        } else {
          this.#unknown.set(piece, unknown);
        }
      },
    );
  }

  /** Takes note of pieces that went and came, and of what that did to the site. */
  change(gone: Iterable<Piece>, come: Iterable<Piece>, change: SiteChange): void {
    for (const piece of gone) {
      this.#names.remove(piece);
      this.#unknown.delete(piece);
      this.#troubled.delete(piece);
    }
    const renumbered = change.renumbered.flatMap((id) => this.options.pieceOf(id) ?? []);
    for (const piece of new Set(renumbered)) {
      this.#names.remove(piece);
      this.#names.add(piece);
    }
    for (const piece of come) {
      this.#names.add(piece);
      if (piece.lowered.problems.length > 0 || piece.lowered.unread.length > 0) {
        this.#troubled.add(piece);
      }
    }
    this.#verdicts.change(change);
  }

  /** Every finding on a day (ISO). `opening`: what opening the files found. */
  findings(on: string, opening: readonly Finding[]): readonly Finding[] {
    const { site, isOwn } = this.options;
    const troubled = this.#inOrder(this.#troubled);
    const unread = unreadOf(troubled, opening);
    this.#unread.become(unread);
    this.#names.refresh();
    const unknown = this.#inOrder(this.#unknown.keys()).flatMap((piece) =>
      this.#unknown.get(piece)!,
    );
    const again = site.duplicates.flatMap((one) => this.options.pieceOf(one.again.id) ?? []);
    const concerned = this.#inOrder(new Set([...troubled, ...again]));
    const damage = damageOf(site, concerned, unknown, unread);
    this.#verdicts.refresh(on, damage);
    return evaluate(site, {
      on,
      isOwn,
      raised: raisedFindings(site, { opening, pieces: troubled, unknown, damage }),
      damage,
      verdicts: this.#verdicts,
    });
  }

  #inOrder(pieces: Iterable<Piece>): readonly Piece[] {
    return [...pieces].sort(this.options.compare);
  }
}

/** Text that was not read, of which each word is a source. */
class LastingUnread implements Unread {
  readonly words = new TrackedSet<string>();
  readonly partlyRead = new TrackedSet<DeclarationId>();
  readonly #missingCell = new Cell();
  #hasMissingFile = NOTHING_UNREAD.hasMissingFile;

  get hasMissingFile(): boolean {
    this.#missingCell.read();
    return this.#hasMissingFile;
  }

  become({ words, partlyRead, hasMissingFile }: Unread): void {
    this.words.become(words);
    this.partlyRead.become(partlyRead);
    if (hasMissingFile !== this.#hasMissingFile) {
      this.#hasMissingFile = hasMissingFile;
      this.#missingCell.changed();
    }
  }
}
