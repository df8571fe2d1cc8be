/** What the grammar allows next, for completion. Kept apart since it loads Langium's editor services. */
import { AstUtils, GrammarAST, GrammarUtils, type AstNode } from 'langium';
import { findFirstFeatures, findNextFeatures, type NextFeature } from 'langium/lsp';
import { languageServices } from './parse.js';

/** What may come next. */
export interface Expected {
  readonly keywords: readonly string[];
  /** Slots that take a terminal, as `NodeType.property`. */
  readonly slots: ReadonlySet<string>;
}

/** What may follow the beginning of a piece, cut off before the word at the cursor. */
export function expectedAfter(beginning: string): Expected {
  const features = nextFeatures(beginning);
  const keywords = new Set<string>();
  const slots = new Set<string>();
  for (const next of features) {
    if (GrammarAST.isKeyword(next.feature)) {
      keywords.add(next.feature.value);
    } else {
      slots.add(slotOf(next.feature));
    }
  }
  return { keywords: [...keywords].filter((word) => /^[a-z]/u.test(word)).sort(), slots };
}

/** `NodeType.property` of a terminal: the node is named by the action before it, or by its rule. */
function slotOf(feature: GrammarAST.AbstractElement): string {
  const assignment = AstUtils.getContainerOfType(feature, GrammarAST.isAssignment);
  let type: string | undefined;
  for (let node: AstNode | undefined = feature; node !== undefined; node = node.$container) {
    const action = GrammarAST.isGroup(node) ? node.elements.find(GrammarAST.isAction) : undefined;
    type ??= action?.inferredType?.name;
    if (GrammarAST.isParserRule(node)) {
      type ??= node.name;
    }
  }
  return `${type ?? ''}.${assignment?.feature ?? ''}`;
}

function nextFeatures(beginning: string): NextFeature[] {
  const services = languageServices();
  const result = services.parser.CompletionParser.parse(beginning);
  if (result.tokenIndex === 0) {
    const entry = GrammarUtils.getEntryRule(services.Grammar)!;
    const first = findFirstFeatures(entry.definition).map(
      (features) => features[features.length - 1]!,
    );
    return result.tokens.length === 0
      ? first
      : findNextFeatures(
          first.map((feature) => [feature]),
          result.tokens.slice(1),
        );
  }
  return findNextFeatures(
    [result.elementStack.map((feature) => ({ feature }))],
    result.tokens.slice(result.tokenIndex),
  );
}

/** Keywords that start a statement: what a line, or a block, may begin with. */
export const statementKeywords: ReadonlySet<string> = new Set([
  'use',
  'site',
  'bustype',
  'cable',
  'equipment',
  'area',
  'board',
  'isolator',
  'device',
  'bus',
  'feed',
  'containment',
  'network',
  'zone',
  'accept',
  'observed',
  'assembly',
  'drawing',
  'revision',
  'owner',
  'creator',
  'approved',
  'issued',
  'limit',
  'conductor-temperature',
  'severity',
  'estimate',
  'conductors',
  'shape',
  'drops',
  'length',
  'address',
  'controllers',
  'sources',
  'terminate',
  'signal',
  'scan',
  'power',
  'screen',
  'rate',
  'unit-loads',
  'cores',
  'colours',
  'screened',
  'twisted',
  'impedance',
  'velocity',
  'rated',
  'reel',
  'ampacity',
  'role',
  'inlet',
  'outlet',
  'port',
  'lan',
  'supervises',
  'caution',
  'relays',
  'repeats',
  'passes',
  'poe-budget',
  'extends',
  'deprecated',
  'unit-load',
  'poll',
  'gives',
  'takes',
  'bias',
  'rise-time',
  'process',
  'timeout',
  'retries',
  'max-master',
  'terminator',
  'addressed',
  'default',
  'https-only',
  'certificate',
  'room',
  'way',
  'main',
  'set',
  'land',
  'ring',
  'last',
  'spur',
  'carries',
  'router',
  'pool',
  'laptop',
  'host',
  'page',
  'name',
  'expires',
  'fingerprint',
  'unit',
  'parameter',
  'expose',
]);
