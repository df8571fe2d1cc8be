/** Which statements stand in which block, read from the grammar. */
import { AstUtils, GrammarAST, type AstNode } from 'langium';
import { FerruleGrammar } from './generated/grammar.js';

/** The word that heads the block of a grammar rule, such as `device`; undefined for the file itself. */
export function blockAbout(ruleStack: readonly string[]): string | undefined {
  const rule = ruleStack[ruleStack.length - 1]?.replace(/[^A-Za-z]/gu, '');
  return rule === undefined ? undefined : blocks().headOfRule.get(rule);
}

/** The words that statements in a block start with. */
export function statementsIn(head: string): readonly string[] {
  return blocks().statementsOf.get(head) ?? [];
}

/** The words that head the blocks in which a statement may stand. */
export function placesOf(statement: string): readonly string[] {
  return [...blocks().statementsOf]
    .filter(([, statements]) => statements.includes(statement))
    .map(([head]) => head);
}

/** The words that declarations start with. */
export function declarationWords(): readonly string[] {
  return blocks().declarations;
}

/** The words that any statement may start with. */
export function statementWords(): readonly string[] {
  return blocks().statements;
}

interface Blocks {
  readonly declarations: readonly string[];
  readonly statements: readonly string[];
  readonly headOfRule: ReadonlyMap<string, string>;
  readonly statementsOf: ReadonlyMap<string, readonly string[]>;
}

let known: Blocks | undefined;

function blocks(): Blocks {
  known ??= readBlocks();
  return known;
}

function readBlocks(): Blocks {
  const headOfRule = new Map<string, string>();
  const statementsOf = new Map<string, string[]>();
  for (const node of AstUtils.streamAllContents(FerruleGrammar())) {
    if (!GrammarAST.isKeyword(node) || node.value !== '{') {
      continue;
    }
    const rule = AstUtils.getContainerOfType(node, GrammarAST.isParserRule)!;
    const head = headAbove(node);
    const members = membersBehind(node);
    if (head !== undefined && members !== undefined) {
      headOfRule.set(rule.name, head);
      const statements = statementsOf.get(head) ?? [];
      statementsOf.set(head, [...new Set([...statements, ...firstWords(members.definition)])]);
    }
  }
  const declaration = FerruleGrammar().rules.find(({ name }) => name === 'Declaration');
  const declarations = GrammarAST.isParserRule(declaration)
    ? firstWords(declaration.definition)
    : [];
  const statements = new Set([...declarations, ...[...statementsOf.values()].flat()]);
  return { declarations, statements: [...statements], headOfRule, statementsOf };
}

/** The first word of the nearest group about a brace that starts with one. */
function headAbove(brace: GrammarAST.Keyword): string | undefined {
  for (
    let node = brace.$container as GrammarAST.AbstractElement | GrammarAST.ParserRule | undefined;
    node !== undefined && !GrammarAST.isParserRule(node);
    node = node.$container as GrammarAST.AbstractElement | GrammarAST.ParserRule | undefined
  ) {
    const [first] = GrammarAST.isGroup(node) ? firstWords(node) : [];
    if (first !== undefined) {
      return first;
    }
  }
  return undefined;
}

function membersBehind(brace: GrammarAST.Keyword): GrammarAST.ParserRule | undefined {
  const group: AstNode | undefined = brace.$container;
  if (!GrammarAST.isGroup(group)) {
    return undefined;
  }
  const next = group.elements[group.elements.indexOf(brace) + 1];
  const terminal = GrammarAST.isAssignment(next) ? next.terminal : undefined;
  const rule = GrammarAST.isRuleCall(terminal) ? terminal.rule.ref : undefined;
  return GrammarAST.isParserRule(rule) ? rule : undefined;
}

/** The words by which an element may start. */
function firstWords(element: GrammarAST.AbstractElement): string[] {
  if (GrammarAST.isKeyword(element)) {
    return /^[a-z]/u.test(element.value) ? [element.value] : [];
  }
  // A group looks like an alternative to the type checker, so that one comes first.
  if (GrammarAST.isGroup(element)) {
    const first = element.elements.find((one) => !GrammarAST.isAction(one));
    return first === undefined ? [] : firstWords(first);
  }
  if (GrammarAST.isAlternatives(element)) {
    return element.elements.flatMap(firstWords);
  }
  if (GrammarAST.isAssignment(element)) {
    return firstWords(element.terminal);
  }
  if (GrammarAST.isRuleCall(element) && GrammarAST.isParserRule(element.rule.ref)) {
    return firstWords(element.rule.ref.definition);
  }
  return [];
}
