/**
 * A site that changes in place while its text is edited.
 *
 * It is the same index as `buildSite` makes, with every look-up a source that can be observed: who
 * asked for a name hears when that name means something else, and nobody else does. A change costs what
 * the changed declarations contribute, not the size of the site.
 *
 * The invariant: after every change each look-up gives what `buildSite` would give for the same
 * declarations in the same order, and every observer of a look-up that gives something else was told.
 */
import type { DeclarationId } from './origin.js';
import type { Declaration, DeclarationKind, DeclarationOf } from './records.js';
import { nameOf, type DuplicateName, type Site, type SiteEntry } from './site.js';
import { makeTables, type Tables } from './store-index.js';
import { Cell, KeyedCells } from './tracking.js';

/** A declaration where it stands in the text. The store gives it its key in the site. */
export interface StoredDeclaration {
  readonly record: Declaration;
  /** Its key as long as no other declaration has the same. */
  readonly ownKey: DeclarationId;
  /** Its key: the own one, or with a number where it is not the first to have it. */
  id: DeclarationId;
}

/** Declarations that follow each other in the text, and what stands there instead now. */
export interface TextWindow<Stored extends StoredDeclaration> {
  readonly gone: readonly Stored[];
  readonly come: readonly Stored[];
}

/** What a change did to the declarations that count. One that moved stands in both. */
export interface SiteChange {
  readonly gone: readonly SiteEntry[];
  readonly come: readonly SiteEntry[];
  /** Keys of declarations that stand where they stood and had another key before. */
  readonly renumbered: readonly DeclarationId[];
}

/** What the store knows of a declaration beside where it stands. */
interface Held<Stored> {
  readonly stored: Stored;
  readonly entry: SiteEntry;
  /** False for all but the first declaration of a name. */
  readonly counts: boolean;
}

export class SiteStore<Stored extends StoredDeclaration> {
  readonly site: Site;
  readonly #held = new Map<DeclarationId, Held<Stored>>();
  readonly #byOwnKey = new Map<DeclarationId, readonly Held<Stored>[]>();
  /** Where a declaration stands: told when it moved among the others or to another file. */
  readonly #placement = new KeyedCells<DeclarationId>();
  readonly #tables: Tables;
  readonly #clashing = new Set<DeclarationId>();
  readonly #duplicates = new Cached<readonly DuplicateName[]>(() => this.#findDuplicates());
  readonly #entries = new Cached<readonly SiteEntry[]>(() => this.#entriesInOrder());
  readonly #waivers = new Cached<Site['waivers']>(() => this.#entriesOf('accept'));
  readonly #observations = new Cached<Site['observations']>(() => this.#entriesOf('observed'));
  readonly #unnamed = new Map<DeclarationId, SiteEntry>();

  /** `compare`: which of two declarations stands first in the text, as the text is now. */
  constructor(private readonly compare: (one: Stored, other: Stored) => number) {
    this.#tables = makeTables(
      (one, other) => this.#compareIds(one, other),
      () => this.#entries.unread,
    );
    this.site = this.#siteOver(this.#tables);
  }

  /** The declaration of a key. Who is observed hears when it stands elsewhere, not when it says something else. */
  declared(id: DeclarationId): Stored | undefined {
    this.#placement.read(id);
    return this.#held.get(id)?.stored;
  }

  /** Every declaration with its key, in no order. */
  *all(): Iterable<readonly [DeclarationId, Stored]> {
    for (const [id, { stored }] of this.#held) {
      yield [id, stored];
    }
  }

  /** Puts other declarations in the place of some. The text's order must be the new one already. */
  change(windows: readonly TextWindow<Stored>[]): SiteChange {
    /** What stands exactly where another one stood. */
    const inPlaceOf = new Map<Stored, Stored>();
    const keys = new Set<DeclarationId>();
    const gone = new Set<Stored>();
    const come = new Map<DeclarationId, Stored[]>();
    for (const window of windows) {
      const keepsPlaces = keepsEveryPlace(window);
      for (const stored of window.gone) {
        gone.add(stored);
        keys.add(stored.ownKey);
      }
      window.come.forEach((stored, index) => {
        keys.add(stored.ownKey);
        const list = come.get(stored.ownKey);
        if (list === undefined) {
          come.set(stored.ownKey, [stored]);
        } else {
          list.push(stored);
        }
        if (keepsPlaces) {
          inPlaceOf.set(stored, window.gone[index]!);
        }
      });
    }
    const before: Held<Stored>[] = [];
    const after: Held<Stored>[] = [];
    for (const key of keys) {
      const held = this.#byOwnKey.get(key) ?? [];
      const next = this.#numbered(
        key,
        [
          ...held.map(({ stored }) => stored).filter((one) => !gone.has(one)),
          ...(come.get(key) ?? []),
        ],
        held,
      );
      this.#replaceHeld(key, held, next);
      before.push(...held);
      after.push(...next);
    }
    return this.#apply(before, after, inPlaceOf);
  }

  /** Declarations of one key in text order, each with its number. */
  #numbered(
    key: DeclarationId,
    stored: Stored[],
    held: readonly Held<Stored>[],
  ): readonly Held<Stored>[] {
    if (stored.length > 1) {
      stored.sort(this.compare);
    }
    return stored.map((one, index) => {
      const id = index === 0 ? key : `${key}#${index + 1}`;
      one.id = id;
      const known = held.find(({ entry }) => entry.id === id && entry.record === one.record);
      const counts = index === 0 || nameOf(one.record) === undefined;
      return { stored: one, entry: known?.entry ?? { id, record: one.record }, counts };
    });
  }

  #replaceHeld(
    key: DeclarationId,
    held: readonly Held<Stored>[],
    next: readonly Held<Stored>[],
  ): void {
    held.forEach(({ entry }) => this.#held.delete(entry.id));
    next.forEach((one) => this.#held.set(one.entry.id, one));
    if (next.length === 0) {
      this.#byOwnKey.delete(key);
    } else {
      this.#byOwnKey.set(key, next);
    }
    const clashes = next.length > 1 && !next[1]!.counts;
    if (clashes || this.#clashing.has(key)) {
      this.#duplicates.drop();
    }
    if (clashes) {
      this.#clashing.add(key);
    } else {
      this.#clashing.delete(key);
    }
  }

  #apply(
    before: readonly Held<Stored>[],
    after: readonly Held<Stored>[],
    inPlaceOf: ReadonlyMap<Stored, Stored>,
  ): SiteChange {
    const counted = new Set(after.filter((one) => one.counts).map(entryOf));
    const stays = new Set<SiteEntry>();
    let isReordered = false;
    for (const { entry, counts, stored } of before) {
      const now = this.#held.get(entry.id);
      // Of several with one name, another one may have taken the key from where it stands itself.
      const keepsPlace =
        now !== undefined && (now.stored === stored || inPlaceOf.get(now.stored) === stored);
      if (counts && keepsPlace && counted.has(entry)) {
        stays.add(entry);
      }
      if (!keepsPlace) {
        isReordered = true;
        this.#placement.changed(entry.id);
      }
    }
    const known = new Set(before.map(({ entry }) => entry.id));
    for (const { entry } of after) {
      if (!known.has(entry.id)) {
        isReordered = true;
        this.#placement.changed(entry.id);
      }
    }
    const gone = before.filter((one) => one.counts && !stays.has(one.entry)).map(entryOf);
    const come = after.filter((one) => one.counts && !stays.has(one.entry)).map(entryOf);
    if (gone.length > 0 || come.length > 0) {
      this.#entries.drop();
      this.#changeUnnamed(gone, come);
      this.#tables.change(gone, come, isReordered);
    }
    const idsBefore = new Map(before.map(({ stored, entry }) => [stored, entry.id]));
    const renumbered = after.filter(({ stored, entry }) => {
      const id = idsBefore.get(stored);
      return id !== undefined && id !== entry.id;
    });
    return { gone, come, renumbered: renumbered.map(({ entry }) => entry.id) };
  }

  #changeUnnamed(gone: readonly SiteEntry[], come: readonly SiteEntry[]): void {
    for (const entry of gone) {
      if (nameOf(entry.record) === undefined) {
        this.#unnamed.delete(entry.id);
      }
    }
    for (const entry of come) {
      if (nameOf(entry.record) === undefined) {
        this.#unnamed.set(entry.id, entry);
      }
    }
    const touches = (kind: DeclarationKind) =>
      gone.some(({ record }) => record.kind === kind) ||
      come.some(({ record }) => record.kind === kind);
    if (touches('accept')) {
      this.#waivers.drop();
    }
    if (touches('observed')) {
      this.#observations.drop();
    }
  }

  #compareIds(one: DeclarationId, other: DeclarationId): number {
    const first = this.#held.get(one);
    const second = this.#held.get(other);
    return first?.counts !== true || second?.counts !== true
      ? 0
      : this.compare(first.stored, second.stored);
  }

  #entriesOf<Kind extends DeclarationKind>(
    kind: Kind,
  ): readonly { readonly id: DeclarationId; readonly record: DeclarationOf<Kind> }[] {
    return [...this.#unnamed.values()]
      .filter(
        (entry): entry is { id: DeclarationId; record: DeclarationOf<Kind> } =>
          entry.record.kind === kind,
      )
      .sort((one, other) => this.#compareIds(one.id, other.id));
  }

  #entriesInOrder(): readonly SiteEntry[] {
    return [...this.#held.values()]
      .filter((one) => one.counts)
      .sort((one, other) => this.compare(one.stored, other.stored))
      .map(entryOf);
  }

  #findDuplicates(): readonly DuplicateName[] {
    return [...this.#clashing]
      .flatMap((name) => {
        const [first, ...others] = this.#byOwnKey.get(name) ?? [];
        return others.map((again) => ({ first: first!, again }));
      })
      .sort((one, other) => this.compare(one.again.stored, other.again.stored))
      .map(({ first, again }) => ({
        name: first.stored.ownKey,
        first: first.entry,
        again: again.entry,
      }));
  }

  #siteOver(tables: Tables): Site {
    const { kinds } = tables;
    const entries = this.#entries;
    const duplicates = this.#duplicates;
    const waivers = this.#waivers;
    const observations = this.#observations;
    return {
      lasting: this,
      get entries() {
        return entries.value;
      },
      get duplicates() {
        return duplicates.value;
      },
      get waivers() {
        return waivers.value;
      },
      get observations() {
        return observations.value;
      },
      get settings() {
        return tables.settings;
      },
      byName: tables.byName,
      busTypes: kinds.bustype,
      cables: kinds.cable,
      equipment: kinds.equipment,
      areas: kinds.area,
      boards: kinds.board,
      isolators: kinds.isolator,
      devices: kinds.device,
      buses: kinds.bus,
      feeds: kinds.feed,
      containments: kinds.containment,
      networks: kinds.network,
      zones: kinds.zone,
      assemblies: kinds.assembly,
      instances: kinds.instance,
      rooms: tables.rooms,
      ambiguousRooms: tables.ambiguousRooms,
      ...tables.lists,
      templatesUsed: tables.templatesUsed,
      compareInText: (one, other) => {
        this.#placement.read(one);
        this.#placement.read(other);
        return this.#compareIds(one, other);
      },
      hasEntry: (id) => {
        this.#placement.read(id);
        return this.#held.get(id)?.counts === true;
      },
    };
  }
}

function entryOf<Stored>({ entry }: Held<Stored>): SiteEntry {
  return entry;
}

/** Whether each declaration that came stands where one of the same key went, so that no order changed. */
function keepsEveryPlace<Stored extends StoredDeclaration>({
  gone,
  come,
}: TextWindow<Stored>): boolean {
  return (
    gone.length === come.length &&
    gone.every((stored, index) => stored.ownKey === come[index]!.ownKey)
  );
}

/** A list that is made when somebody asks for it. */
class Cached<Value> {
  readonly #cell = new Cell();
  #value: Value | undefined;

  constructor(private readonly make: () => Value) {}

  get value(): Value {
    this.#cell.read();
    return this.unread;
  }

  /** The same for the store itself, which depends on nothing. */
  get unread(): Value {
    this.#value ??= this.make();
    return this.#value;
  }

  drop(): void {
    this.#value = undefined;
    this.#cell.changed();
  }
}
