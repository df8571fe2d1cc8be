/**
 * From the declarations as they are written to those that the model has: assemblies and variants
 * expanded.
 *
 * A site without either never comes here. In one that has any, the declarations as written stand in a
 * store of their own, and what each stands for is a computed result, so that after an edit only those
 * are expanded again that name something of which the text has changed.
 */
import { isSameData } from '../analysis/sameness.js';
import { Watch } from '../analysis/watch.js';
import { expanded, type ExpandedPart } from '../language/expand.js';
import type { LoweredDeclaration } from '../language/lower.js';
import type { DeclarationId, PartPath, Place } from '../model/origin.js';
import type { Declaration } from '../model/records.js';
import { nameOf } from '../model/site.js';
import { SiteStore, type StoredDeclaration, type TextWindow } from '../model/site-store.js';

export interface ExpansionOptions<Text extends StoredDeclaration, Stored> {
  readonly compare: (one: Text, other: Text) => number;
  /** What the model has of a key now. */
  readonly recordOf: (key: DeclarationId) => Declaration | undefined;
  readonly make: (text: Text, index: number, part: ExpandedPart) => Stored;
}

/** Whether a declaration makes another one, or itself, stand for more than it says. */
export function needsExpansion({ kind, ...rest }: Declaration): boolean {
  return kind === 'assembly' || (kind === 'equipment' && 'extends' in rest);
}

export class Expansion<Text extends StoredDeclaration, Stored extends StoredDeclaration> {
  readonly #written: SiteStore<Text>;
  readonly #watch: Watch<Text, readonly ExpandedPart[] | undefined>;
  readonly #stands = new Map<Text, readonly (Text | Stored)[]>();
  readonly #news = new Map<Text, readonly ExpandedPart[] | undefined>();
  #renumbered: ReadonlySet<DeclarationId> = new Set();

  constructor(private readonly options: ExpansionOptions<Text, Stored>) {
    this.#written = new SiteStore<Text>(options.compare);
    this.#watch = new Watch<Text, readonly ExpandedPart[] | undefined>(
      this.#written.site,
      (text) => this.#expand(text),
      (text, parts) => {
        this.#news.set(text, parts);
      },
    );
  }

  /** Takes what stands in the model already, each for itself; the next change gives what it stands for. */
  start(texts: readonly Text[]): void {
    this.#written.change([{ gone: [], come: texts }]);
    texts.forEach((text) => {
      this.#watch.add(text);
    });
  }

  /**
   * Texts that the last change gave another number. What they stand for comes into the model as
   * something new, so the model's own store does not tell it.
   */
  get renumbered(): ReadonlySet<DeclarationId> {
    return this.#renumbered;
  }

  /** Takes what went and came in the text; gives what goes and comes in the model. */
  change(windows: readonly TextWindow<Text>[]): readonly TextWindow<Text | Stored>[] {
    const { renumbered } = this.#written.change(windows);
    this.#renumbered = new Set(renumbered);
    const come = new Set(windows.flatMap((window) => window.come));
    const gone = new Set(windows.flatMap((window) => window.gone));
    for (const text of gone) {
      if (!come.has(text)) {
        this.#watch.remove(text);
      }
    }
    for (const text of come) {
      if (!gone.has(text)) {
        this.#watch.add(text);
      }
    }
    for (const id of renumbered) {
      const text = this.#written.declared(id);
      if (text !== undefined) {
        this.#watch.remove(text);
        this.#watch.add(text);
      }
    }
    this.#watch.refresh();
    return this.#windows(windows, gone, come);
  }

  #windows(
    windows: readonly TextWindow<Text>[],
    gone: ReadonlySet<Text>,
    come: ReadonlySet<Text>,
  ): readonly TextWindow<Text | Stored>[] {
    const before = (text: Text) => this.#stands.get(text) ?? [text];
    const now = new Map([...this.#news].map(([text, parts]) => [text, this.#made(text, parts)]));
    this.#news.clear();
    const after = (text: Text) => now.get(text) ?? before(text);
    const changed = windows.map((window) => ({
      gone: window.gone.flatMap(before),
      come: window.come.flatMap(after),
    }));
    for (const [text, stands] of now) {
      if (!gone.has(text) && !come.has(text)) {
        changed.push({ gone: [...before(text)], come: [...stands] });
      }
    }
    gone.forEach((text) => !come.has(text) && this.#stands.delete(text));
    now.forEach((stands, text) => this.#stands.set(text, stands));
    return changed;
  }

  #expand(text: Text): readonly ExpandedPart[] | undefined {
    const { site } = this.#written;
    const name = nameOf(text.record);
    const counts = name === undefined || site.byName.get(name)?.id === text.id;
    return expanded(site, text.record, counts);
  }

  /** A record that says what it said before is the same record. */
  #made(text: Text, parts: readonly ExpandedPart[] | undefined): readonly (Text | Stored)[] {
    return parts === undefined
      ? [text]
      : parts.map((part, index) => {
          const known = this.options.recordOf(part.key ?? text.id);
          const record =
            known !== undefined && isSameData(known, part.record) ? known : part.record;
          return this.options.make(text, index, { ...part, record });
        });
  }
}

/** Where a part of what stands in an instance is written, if a text around it states it. */
export function statedPlace(
  stated: Readonly<Record<PartPath, Place>>,
  path: PartPath,
): Place | undefined {
  const start = Object.keys(stated).find((one) => path === one || path.startsWith(`${one}/`));
  return start === undefined ? undefined : stated[start];
}

/** Of the text of an instance, what belongs to one part in it. */
export function originsWithin(
  { origins }: LoweredDeclaration,
  ownKey: DeclarationId,
  stated: Readonly<Record<PartPath, Place>>,
): LoweredDeclaration['origins'] {
  const found = new Map([...origins].filter(([path]) => path === 'name' || path === ''));
  for (const [path, place] of Object.entries(stated)) {
    for (const [own, span] of origins) {
      const isPart = own === place.part || own.startsWith(`${place.part}/`);
      if (place.declaration === ownKey && isPart) {
        found.set(path + own.slice(place.part.length), span);
      }
    }
  }
  return found;
}
