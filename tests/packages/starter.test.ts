/** The starter library: right, used as a whole, documented, and honest about its figures. */
import { readFileSync, readdirSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { inProject } from '../../scripts/lib/root.mjs';
import { formatText } from '../../src/language/format.js';
import { nameOf } from '../../src/model/site.js';
import { isTemplate } from '../../src/workbench/unused-imports.js';
import { counted, lines, siteOf } from '../support/site.js';

const names = readdirSync(inProject('library')).filter((name) => name.endsWith('.ferrule'));
const texts = Object.fromEntries(
  names.map((name) => [name, readFileSync(inProject('library', name), 'utf8')]),
);
const library = names.filter((name) => name !== 'test-site.ferrule');
const { open, findings } = siteOf(`//- test-site.ferrule\n${texts['test-site.ferrule']!}`, texts);

describe('the starter library', () => {
  it('is right on a site that uses all of it', () => {
    expect(lines(counted(findings))).toEqual([]);
  });

  const templates = open.files
    .filter(({ path }) => path !== 'test-site.ferrule')
    .flatMap((file) =>
      file.pieces.flatMap((piece) =>
        piece.lowered.declarations
          .filter(({ record }) => isTemplate(record) && record.kind !== 'use')
          .map(({ record }) => ({ name: nameOf(record)!, record, text: piece.text })),
      ),
    );

  it('has every kind of thing to start from', () => {
    const roles = new Set(
      templates.flatMap(({ record }) => (record.kind === 'equipment' ? [record.role] : [])),
    );
    expect([...roles].sort()).toEqual([
      'gateway',
      'indoor-unit',
      'junction',
      'other',
      'outdoor-unit',
      'repeater',
      'room-controller',
      'site-controller',
      'supply',
      'switch',
      'terminator',
      'zone-controller',
    ]);
  });

  it.each(templates.map(({ name, record }) => [name, record] as const))(
    'has %s used on the test site, and documented with where its figures are from',
    (name, record) => {
      const used = [...open.pieces]
        .filter(({ ids }) => !ids.includes(name))
        .some((piece) =>
          piece.lowered.declarations.some(({ references }) =>
            references.some((reference) => reference.name === name),
          ),
        );
      expect(used).toBe(true);
      const text = 'doc' in record ? (record.doc ?? '') : '';
      expect(text).toMatch(
        /Invented figures: replace by the equipment's own data\.|Modbus over Serial Line|ASHRAE 135|EN 13757|EN 50090|IEC 62386/u,
      );
    },
  );

  it('is a package whose entries are all of its files', () => {
    const manifest = JSON.parse(readFileSync(inProject('library/package.json'), 'utf8')) as {
      readonly private: boolean;
      readonly ferrule: { readonly entry: readonly string[] };
    };
    expect([...manifest.ferrule.entry].sort()).toEqual([...library].sort());
    expect(manifest.private).toBe(true);
  });

  it('stands in canonical form', () => {
    for (const name of library) {
      expect(formatText(texts[name]!)).toEqual({ kind: 'formatted', text: texts[name]! });
    }
  });
});
