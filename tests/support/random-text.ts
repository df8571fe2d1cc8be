/**
 * Random texts made from the grammar itself, so that they reach every word of it.
 *
 * A member or declaration starts on a line of its own, as the language wants it; everything inside a
 * statement is drawn from the grammar's own alternatives and repetitions.
 */
import fc from 'fast-check';
import { GrammarAST, GrammarUtils } from 'langium';
import { languageServices } from '../../src/language/parse.js';

/** Properties whose values start a line. */
const memberProperties = new Set([
  'declarations',
  'facts',
  'lines',
  'rooms',
  'ways',
  'parts',
  'spurs',
]);

const names = [
  'FC-1-01',
  'OU-1',
  'field',
  'Plant',
  'Café',
  'x',
  'Level_2',
  'land',
  'existing',
  'port',
  'Reading-room',
];
const words = ['run', 'FC-9', 'Würfel', 'a', 'b2'];
const quantities = [
  '1',
  '0',
  '64',
  '18 m',
  '0.75 mm2',
  '18 AWG',
  '230 VAC',
  '24 V',
  '0.35 A',
  '100 VA',
  '5 %',
  '9600 baud',
  '20 s',
  '120 ohm',
  '-3.2 m',
  '1/8',
  '1/0 AWG',
  '300/500 V',
  '40 C',
  '8 bytes',
];
const terminals: Readonly<Record<string, readonly string[]>> = {
  NAME: names,
  WORD: words,
  LABEL: [...words, '1', '12', '"A+"', 'terminals'],
  QUANTITY: quantities,
  TIMES: ['2 x', '10 x'],
  DATE: ['2026-11-20', '2024-02-29'],
  ADDRESS: ['10.40.8.20', '10.40.8.0/24', '192.0.2.255'],
  STRING: ['"text"', '""', '"with \\"quotes\\" and // no comment"', '"} {"', '"é, ü, 字"'],
};

/** A random text without syntax errors: `declarations` declarations at most. */
export function randomText(declarations = 4): fc.Arbitrary<string> {
  return fc.gen().map((generate) => {
    const pick = <Value>(values: readonly Value[]): Value =>
      values[generate(fc.nat, { max: values.length - 1 })]!;
    const chance = (percent: number): boolean => generate(fc.nat, { max: 99 }) < percent;
    const grammar = languageServices().Grammar;
    const lines: string[] = [];
    let line = '';
    let indent = 0;
    const flush = () => {
      if (line.trim() !== '') {
        lines.push('  '.repeat(indent) + line.trim());
      }
      line = '';
    };
    const put = (text: string) => {
      line += text === '.' || text === ',' || line.endsWith('.') ? text : ` ${text}`;
    };

    const times = (cardinality: string | undefined, depth: number): number => {
      switch (cardinality) {
        case '?':
          return chance(50) ? 1 : 0;
        case '*':
          return depth > 6 ? 0 : generate(fc.nat, { max: 3 });
        case '+':
          return 1 + (depth > 6 ? 0 : generate(fc.nat, { max: 1 }));
        default:
          return 1;
      }
    };

    const write = (element: GrammarAST.AbstractElement, depth: number): void => {
      for (let count = times(element.cardinality, depth); count > 0; count--) {
        writeOnce(element, depth);
      }
    };
    const writeOnce = (element: GrammarAST.AbstractElement, depth: number): void => {
      if (GrammarAST.isKeyword(element)) {
        if (element.value === '}') {
          flush();
          indent--;
          line = '}';
          flush();
          return;
        }
        put(element.value);
        if (element.value === '{') {
          flush();
          indent++;
        }
      } else if (GrammarAST.isGroup(element) || GrammarAST.isUnorderedGroup(element)) {
        element.elements.forEach((one) => write(one, depth));
      } else if (GrammarAST.isAlternatives(element)) {
        write(pick(element.elements), depth);
      } else if (GrammarAST.isAssignment(element)) {
        if (memberProperties.has(element.feature) && GrammarAST.isRuleCall(element.terminal)) {
          flush();
        }
        write(element.terminal, depth);
        if (memberProperties.has(element.feature) && GrammarAST.isRuleCall(element.terminal)) {
          flush();
        }
      } else if (GrammarAST.isCrossReference(element)) {
        put(pick(names));
      } else if (GrammarAST.isRuleCall(element)) {
        const rule = element.rule.ref!;
        if (GrammarAST.isTerminalRule(rule)) {
          put(pick(terminals[rule.name] ?? ['x']));
        } else if (GrammarAST.isParserRule(rule)) {
          write(rule.definition, depth + 1);
        }
      }
    };

    const declaration = grammar.rules.find(
      (rule) => rule.name === 'Declaration',
    ) as GrammarAST.ParserRule;
    const alternatives = (declaration.definition as GrammarAST.Alternatives).elements;
    for (let count = 1 + generate(fc.nat, { max: declarations - 1 }); count > 0; count--) {
      write(pick(alternatives), 0);
      flush();
    }
    return `${lines.join('\n')}\n`;
  });
}

/** Every word of the grammar that is a keyword. */
export function grammarWords(): string[] {
  const words_ = new Set<string>();
  for (const rule of GrammarUtils.getAllReachableRules(languageServices().Grammar, false)) {
    if (GrammarAST.isParserRule(rule)) {
      collect(rule.definition, words_);
    }
  }
  return [...words_].sort();
}

function collect(element: GrammarAST.AbstractElement, into: Set<string>): void {
  if (GrammarAST.isKeyword(element)) {
    into.add(element.value);
  } else if (GrammarAST.isAssignment(element)) {
    collect(element.terminal, into);
  } else if (
    GrammarAST.isGroup(element) ||
    GrammarAST.isAlternatives(element) ||
    GrammarAST.isUnorderedGroup(element)
  ) {
    element.elements.forEach((one) => collect(one, into));
  }
}

/** Puts comments and blank lines between the lines of a text, and behind some of them. */
export function withComments(text: string, seed: number): string {
  let state = seed >>> 0;
  const random = (limit: number) => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return Math.floor((state / 2 ** 32) * limit);
  };
  let number = 0;
  return text
    .split('\n')
    .flatMap((line) => {
      const before = ['', '  // note', '/// doc'][random(12)];
      const behind = random(6) === 0 && line !== '' ? `   // c${number++}` : '';
      const spread = random(5) === 0 ? line.replaceAll(/ (?=[a-z])/gu, '   ') : line;
      return before === undefined
        ? [spread + behind]
        : [before === '' ? '' : `${before} ${number++}`, spread + behind];
    })
    .join('\n');
}
