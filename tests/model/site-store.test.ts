/** A site that changed in place is the site that would be built from the same declarations. */
import { describe, expect, it } from 'vitest';
import { lowerPiece } from '../../src/language/lower.js';
import { splitText } from '../../src/language/split.js';
import { keyOf } from '../../src/language/validate.js';
import type { Declaration } from '../../src/model/records.js';
import { buildSite, type Site } from '../../src/model/site.js';
import { SiteStore, type StoredDeclaration } from '../../src/model/site-store.js';
import { runFor, type Source } from '../../src/model/tracking.js';
import { largeSite } from '../support/large-site.js';
import { randomFrom, seedOfThisRun, type Random } from '../support/random.js';

class Stored implements StoredDeclaration {
  id = '';
  position = 0;
  readonly ownKey: string;

  constructor(readonly record: Declaration) {
    this.ownKey = keyOf(record);
  }
}

const seed = seedOfThisRun();

describe('a site that changes in place', () => {
  it('puts what takes over a name where it stands itself', () => {
    const [area, other] = ['area A {}', 'area B {}'].map(
      (text) => lowerPiece(text).declarations[0]!.record,
    ) as [Declaration, Declaration];
    // Pieces with one text share what they say.
    const [first, between, second] = [area, other, area].map((record, position) => {
      const stored = new Stored(record);
      stored.position = position;
      return stored;
    }) as [Stored, Stored, Stored];
    const store = new SiteStore<Stored>((one, other) => one.position - other.position);
    store.change([{ gone: [], come: [first, between, second] }]);
    expect(store.site.entries.map(({ id }) => id)).toEqual(['A', 'B']);
    // The second one is told as what stays where it is, while the first one goes.
    store.change([
      { gone: [first], come: [] },
      { gone: [second], come: [second] },
    ]);
    expect(store.site.entries.map(({ id }) => id)).toEqual(['B', 'A']);
  });

  it(`is always the one that is built anew, and tells whoever read what changed (seed ${seed})`, () => {
    const random = randomFrom(seed);
    const pool = declarations();
    for (let run = 0; run < 40; run++) {
      let text: Stored[] = [];
      const store = new SiteStore<Stored>((one, other) => one.position - other.position);
      for (let step = 0; step < 40; step++) {
        const from = random.integer(0, text.length);
        const count = step === 0 ? 0 : random.integer(0, Math.min(4, text.length - from));
        const gone = text.slice(from, from + count);
        const come = replacement(random, gone, pool, step === 0 ? 60 : random.integer(0, 3));
        text = [...text.slice(0, from), ...come, ...text.slice(from + count)];
        text.forEach((stored, position) => (stored.position = position));
        const questions = questionsTo(store.site, random, pool);
        const before = questions.map((ask) => observed(ask));
        store.change([{ gone, come }]);
        for (const [index, { answer, told }] of before.entries()) {
          if (!isSameAnswer(answer, questions[index]!())) {
            expect(told(), String(questions[index])).toBe(true);
          }
        }
        const built = buildSite(text.map(({ id, record }) => ({ id, record })));
        const wanted = contentOf(built);
        for (const [table, content] of Object.entries(contentOf(store.site))) {
          expect(content, table).toEqual(wanted[table]);
        }
        const [one, other] = [random.pick(built.entries), random.pick(built.entries)];
        if (one !== undefined && other !== undefined) {
          expect(Math.sign(store.site.compareInText(one.id, other.id))).toBe(
            Math.sign(built.compareInText(one.id, other.id)),
          );
        }
      }
    }
  });
});

/** What stands there instead: the same moved about, others, or the same with another value. */
function replacement(
  random: Random,
  gone: readonly Stored[],
  pool: readonly Declaration[],
  more: number,
): Stored[] {
  const kept = gone
    .filter(() => random.integer(0, 2) > 0)
    .map(({ record }) => new Stored(random.pick([same, touched, ofOtherKind])(record)));
  if (random.integer(0, 2) === 0) {
    kept.reverse();
  }
  const others = Array.from({ length: more }, () => new Stored(random.pick(pool)));
  return random.integer(0, 1) === 0 ? [...kept, ...others] : [...others, ...kept];
}

function same(record: Declaration): Declaration {
  return record;
}

function ofOtherKind(record: Declaration): Declaration {
  return 'name' in record && record.kind !== 'zone'
    ? { kind: 'zone', name: record.name, units: [] }
    : record;
}

function touched(record: Declaration): Declaration {
  return 'title' in record ? { ...record, title: `${record.title ?? ''}x` } : { ...record };
}

function declarations(): readonly Declaration[] {
  const { files } = largeSite({ devices: 120 });
  const some = [
    'area Level1 {\n  room Zone1\n  room Zone2\n}\n',
    'area Attic {\n  room Zone1\n}\n',
    'use "./a.ferrule"\n',
    'observed ZC-5 finds 3 on 2026-11-02\n',
    'device field-1 : Indoor\n',
    'bus OU-1 : FieldLink\n',
    'network n-1 {\n  prefix 192.0.2.0/24\n  host ZC-1.lan 192.0.2.10\n}\n',
  ];
  return [
    ...Object.values(files).flatMap((text) => splitText(text).map((one) => one.text)),
    ...some,
  ].flatMap((text) => lowerPiece(text).declarations.map(({ record }) => record));
}

/** Look-ups of every table, by random keys, and walks over whole tables. */
function questionsTo(
  site: Site,
  random: Random,
  pool: readonly Declaration[],
): readonly (() => unknown)[] {
  const names = Array.from({ length: 6 }, () => keyOf(random.pick(pool)));
  const tables = Object.values(site).filter(
    (table): table is ReadonlyMap<string, unknown> =>
      typeof table === 'object' && table !== null && 'get' in table && 'keys' in table,
  );
  return [
    ...tables.flatMap((table) => {
      const keys = [...table.keys()];
      const key = keys.length === 0 ? names[0]! : random.pick(keys);
      return [
        () => table.get(key),
        () => table.get(names[1]!),
        () => table.has(key),
        () => [...table.keys()],
        () => [...table.values()],
        () => table.size,
      ];
    }),
    () => site.settings,
    () => site.entries,
    () => site.waivers,
    () => site.observations,
    () => site.duplicates,
    () => site.templatesUsed.has('Indoor'),
    () => [...site.templatesUsed].sort(),
    () => Math.sign(site.compareInText(names[2]!, names[3]!)),
    () => site.hasEntry(names[4]!),
  ];
}

function observed(ask: () => unknown): { answer: unknown; told: () => boolean } {
  let isTold = false;
  const observer = {
    note: (source: Source) => {
      source.observe(observer);
    },
    sourceChanged: () => {
      isTold = true;
    },
    sourceUncertain: () => {
      isTold = true;
    },
  };
  return { answer: runFor(observer, ask), told: () => isTold };
}

function isSameAnswer(one: unknown, other: unknown): boolean {
  return Array.isArray(one) && Array.isArray(other)
    ? one.length === other.length && one.every((value, index) => value === other[index])
    : one === other;
}

function contentOf(site: Site): Record<string, unknown> {
  return Object.fromEntries(
    Object.keys(site)
      .filter((key) => !['compareInText', 'hasEntry', 'lasting'].includes(key))
      .map((key) => {
        const value = site[key as keyof Site] as unknown;
        if (key === 'templatesUsed') {
          return [key, [...site.templatesUsed].sort()];
        }
        const isMap = typeof value === 'object' && value !== null && 'entries' in value;
        return [key, isMap && !Array.isArray(value) ? [...(value as Map<string, unknown>)] : value];
      }),
  );
}
