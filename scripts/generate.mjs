// Writes what the sources derive from other sources: the parser, and the rule pages, the starter library
// and the fonts of the printed forms as modules. None is committed: `npm run generate` makes them from scratch.
import { generateParser } from './generate-parser.mjs';
import { generatePrintFonts } from './generate-print-fonts.mjs';
import { generateRulePages } from './generate-rule-pages.mjs';
import { generateStarter } from './generate-starter.mjs';

await generateParser();
await generateRulePages();
await generateStarter();
await generatePrintFonts();
