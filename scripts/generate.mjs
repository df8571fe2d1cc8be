// Writes what the sources derive from other sources: the parser and the rule pages as a module.
// Neither is committed: `npm run generate` makes both from scratch.
import { generateParser } from './generate-parser.mjs';
import { generateRulePages } from './generate-rule-pages.mjs';

await generateParser();
await generateRulePages();
