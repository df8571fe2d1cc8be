import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { inProject } from '../../scripts/lib/root.mjs';

const configuration = JSON.parse(
  readFileSync(inProject('language-configuration.json'), 'utf8'),
) as {
  wordPattern: { pattern: string; flags: string };
  indentationRules: { increaseIndentPattern: string; decreaseIndentPattern: string };
  onEnterRules: { beforeText: string; afterText?: string; action: { appendText?: string } }[];
};

describe('a word in the editor', () => {
  const { pattern, flags } = configuration.wordPattern;
  const wordsOf = (text: string) => text.match(new RegExp(pattern, `g${flags}`)) ?? [];

  it.each([
    ['land FC-1-03.field 9 m', ['land', 'FC-1-03', 'field', '9', 'm']],
    ['land FC-1-', ['land', 'FC-1-']],
    ['host SG-1.lan 10.40.8.20', ['host', 'SG-1', 'lan', '10.40.8.20']],
    ['expires 2027-11-25', ['expires', '2027-11-25']],
    ['0.75 mm2 .. 1.5 mm2', ['0.75', 'mm2', '1.5', 'mm2']],
    ['room Küche at 3 m, 2 m', ['room', 'Küche', 'at', '3', 'm', '2', 'm']],
  ])('%s has the words a person would say', (text, words) => {
    expect(wordsOf(text)).toEqual(words);
  });
});

describe('a new line', () => {
  const indents = new RegExp(configuration.indentationRules.increaseIndentPattern);
  const outdents = new RegExp(configuration.indentationRules.decreaseIndentPattern);
  const comment = new RegExp(configuration.onEnterRules[0]?.beforeText ?? 'none');

  it('is indented after an open brace only', () => {
    expect(indents.test('bus field-1 : Link using C {')).toBe(true);
    expect(indents.test('bus field-1 : Link using C {   // first: the roof')).toBe(true);
    expect(indents.test('  land FC-1.field 9 m { spur 2 m {')).toBe(true);
    expect(indents.test('device A : B { address 1 }')).toBe(false);
    expect(indents.test('// see {')).toBe(false);
    expect(indents.test('site S "a {"')).toBe(false);
    expect(outdents.test('  }')).toBe(true);
    expect(outdents.test('  land A.b')).toBe(false);
  });

  it('goes on with documentation, not with a remark', () => {
    expect(comment.test('/// Two-wire link')).toBe(true);
    expect(comment.test('// a remark')).toBe(false);
    expect(comment.test('//// a rule')).toBe(false);
    expect(configuration.onEnterRules[0]?.action.appendText).toBe('/// ');
  });
});
