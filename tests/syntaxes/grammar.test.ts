import { readFileSync } from 'node:fs';
import { beforeAll, describe, expect, it } from 'vitest';
import type { IGrammar } from 'vscode-textmate';
import { inProject } from '../../scripts/lib/root.mjs';
import { loadGrammar, tokensOf } from './tokens.js';

let grammar: IGrammar;

beforeAll(async () => {
  grammar = await loadGrammar();
});

/** `word<scope>` for each token that is no punctuation. */
const coloured = (text: string) =>
  tokensOf(grammar, text)
    .filter((token) => !token.scope.startsWith('punctuation'))
    .map((token) => `${token.text}<${token.scope}>`);

describe('the colours of a declaration', () => {
  it('tell its keyword, its own name and its type', () => {
    expect(coloured('device FC-1-03 : CassetteUnit in Reading')).toEqual([
      'device<keyword.declaration>',
      'FC-1-03<entity.name.function>',
      'CassetteUnit<support.type>',
      'in<keyword.other>',
      'Reading<variable.other>',
    ]);
  });

  it('see the type behind a title', () => {
    expect(coloured('device OU-1 "Serves : the ground floor" : HeatPump-28 in Platform')).toEqual([
      'device<keyword.declaration>',
      'OU-1<entity.name.function>',
      '"Serves : the ground floor"<string.quoted.double>',
      'HeatPump-28<support.type>',
      'in<keyword.other>',
      'Platform<variable.other>',
    ]);
  });

  it.each([
    ['bustype', 'entity.name.type'],
    ['cable', 'entity.name.type'],
    ['equipment', 'entity.name.type'],
    ['assembly', 'entity.name.type'],
    ['site', 'entity.name.function'],
    ['area', 'entity.name.function'],
    ['board', 'entity.name.function'],
    ['isolator', 'entity.name.function'],
    ['bus', 'entity.name.function'],
    ['feed', 'entity.name.function'],
    ['containment', 'entity.name.function'],
    ['network', 'entity.name.function'],
    ['zone', 'entity.name.function'],
  ])('name what a %s declares', (keyword, scope) => {
    expect(coloured(`${keyword} Länge-1_a {`)).toEqual([
      `${keyword}<keyword.declaration>`,
      `Länge-1_a<${scope}>`,
    ]);
  });

  it('need column 0', () => {
    expect(coloured('  zone Readers')).toEqual(['zone<variable.other>', 'Readers<variable.other>']);
  });

  it('show the rule of a waiver, its limit, reason and date', () => {
    expect(coloured('accept bus-too-long on field-1 up to 1040 m until 2027-03-31')).toEqual([
      'accept<keyword.control>',
      'bus-too-long<support.constant.rule>',
      'on<keyword.other>',
      'field-1<variable.other>',
      'up<keyword.other>',
      'to<keyword.other>',
      '1040<constant.numeric>',
      'm<keyword.other.unit>',
      'until<keyword.other>',
      '2027-03-31<constant.numeric.date>',
    ]);
  });
});

describe('the colours of a member', () => {
  it('tell its keyword, its own name and its type', () => {
    expect(coloured('  port field : EquipmentLink terminals CA, CB as responder')).toEqual([
      'port<keyword.other.member>',
      'field<entity.name.function.member>',
      'EquipmentLink<support.type>',
      'terminals<keyword.other>',
      'CA<variable.other>',
      'CB<variable.other>',
      'as<keyword.other>',
      'responder<keyword.other>',
    ]);
  });

  it('hold after a brace', () => {
    expect(coloured('device X-1 : Y { address 7 }').slice(3)).toEqual([
      'address<keyword.other.member>',
      '7<constant.numeric>',
    ]);
  });

  it('tell a reference from a keyword of the same spelling', () => {
    expect(coloured('  land PS-1.out 14 m covered')).toEqual([
      'land<keyword.other.member>',
      'PS-1<variable.other>',
      'out<variable.other.member>',
      '14<constant.numeric>',
      'm<keyword.other.unit>',
      'covered<keyword.other>',
    ]);
    expect(coloured('  land address.field')).toEqual([
      'land<keyword.other.member>',
      'address<variable.other>',
      'field<variable.other.member>',
    ]);
    expect(coloured('  land in-let.field')[1]).toBe('in-let<variable.other>');
  });

  it('leave an unknown first word plain', () => {
    expect(coloured('  lnad FC-1.field')).toEqual([
      'lnad<variable.other>',
      'FC-1<variable.other>',
      'field<variable.other.member>',
    ]);
  });
});

describe('the colours of values', () => {
  it.each([
    ['120 ohm', ['120<constant.numeric>', 'ohm<keyword.other.unit>']],
    ['0,75mm2', ['0,75<constant.numeric>', 'mm2<keyword.other.unit>']],
    ['-5 %', ['-5<constant.numeric>', '%<keyword.other.unit>']],
    ['300/500 V', ['300/500<constant.numeric>', 'V<keyword.other.unit>']],
    ['1/0 AWG', ['1/0<constant.numeric>', 'AWG<keyword.other.unit>']],
    ['24 VAC', ['24<constant.numeric>', 'VAC<keyword.other.unit>']],
  ])('%s is a number with its unit', (text, expected) => {
    expect(coloured(`  drops ${text}`).slice(1)).toEqual(expected);
  });

  it('see no unit in the beginning of a word', () => {
    expect(coloured('  retries 2 max-master 31')).toEqual([
      'retries<keyword.other.member>',
      '2<constant.numeric>',
      'max-master<keyword.other>',
      '31<constant.numeric>',
    ]);
  });

  it('tell addresses, ranges, dates and counts apart', () => {
    expect(coloured('  pool 10.40.8.100 .. 10.40.8.0/24')).toEqual([
      'pool<keyword.other.member>',
      '10.40.8.100<constant.numeric.address>',
      '..<keyword.operator.range>',
      '10.40.8.0/24<constant.numeric.address>',
    ]);
    expect(coloured('  expires 2027-11-25')[1]).toBe('2027-11-25<constant.numeric.date>');
    expect(coloured('  cores 2 x 0.75 mm2')).toEqual([
      'cores<keyword.other.member>',
      '2<constant.numeric>',
      'x<keyword.operator.count>',
      '0.75<constant.numeric>',
      'mm2<keyword.other.unit>',
    ]);
  });

  it('know the words of the value slots', () => {
    expect(coloured('  role indoor-unit')[1]).toBe('indoor-unit<constant.language>');
    expect(coloured('  way W3 400 VAC 32 A curve C').at(-1)).toBe('C<constant.language>');
    expect(coloured('  scan within 1 s by token').at(-1)).toBe('token<constant.language>');
  });
});

describe('the colours of strings and comments', () => {
  it('end a string at its quote, or at the end of its line', () => {
    expect(coloured('site S "it // is" { drops 2')).toEqual([
      'site<keyword.declaration>',
      'S<entity.name.function>',
      '"it // is"<string.quoted.double>',
      'drops<keyword.other.member>',
      '2<constant.numeric>',
    ]);
    expect(coloured('  owner "not closed\nbus field-1')).toEqual([
      'owner<keyword.other.member>',
      'not closed<string.quoted.double>',
      'bus<keyword.declaration>',
      'field-1<entity.name.function>',
    ]);
  });

  it('tell documentation from a remark', () => {
    expect(coloured('/// Two-wire link.')).toEqual([
      '/// Two-wire link.<comment.line.documentation>',
    ]);
    expect(coloured('drops 4 // most ports').at(-1)).toBe(
      '// most ports<comment.line.double-slash>',
    );
  });
});

describe('the keywords of the parser', () => {
  const parser = readFileSync(inProject('src', 'language', 'ferrule.langium'), 'utf8');
  const keywords = [...new Set([...parser.matchAll(/'([a-z][\w-]*)'/g)].map((match) => match[1]))];

  it('are coloured as keywords where they stand', () => {
    const positions = (word: string) => [`${word} A`, `  ${word} 1`, `  drops 1 ${word} 2`];
    const plain = keywords.filter(
      (word = '') =>
        !positions(word).some((line) =>
          tokensOf(grammar, line).some(
            (token) => token.text === word && token.scope.startsWith('keyword'),
          ),
        ),
    );
    expect(keywords.length).toBeGreaterThan(100);
    expect(plain).toEqual([]);
  });
});
