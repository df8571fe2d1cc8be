/** Everything that a workbench says about a site, as plain data, so that two workbenches can be compared. */
import { resolveName } from '../../src/language/resolve.js';
import { unreadOf } from '../../src/language/unread.js';
import { outlineOf } from '../../src/workbench/editing/outline.js';
import { factsOf } from '../../src/workbench/outputs.js';
import type { Workbench } from '../../src/workbench/workbench.js';

export interface WholeAnswer {
  readonly findings: readonly string[];
  readonly opening: readonly string[];
  readonly files: readonly string[];
  readonly declarations: readonly string[];
  readonly references: readonly string[];
  readonly outlines: readonly string[];
  readonly facts: readonly string[];
  readonly roots: readonly string[];
}

/** How much is compared: facts and outlines of a large site take long. */
export type Depth = 'findings and names' | 'all';

export function wholeAnswer(
  workbench: Workbench,
  root: string,
  on: string,
  depth: Depth,
): WholeAnswer | undefined {
  const checked = workbench.check(root, on);
  if (checked === undefined) {
    return undefined;
  }
  const { open } = checked;
  const unread = unreadOf(open.pieces, open.opening);
  return {
    findings: checked.findings.map(text),
    opening: open.opening.map(text),
    files: open.files.map((file) => file.path),
    declarations: open.site.entries.map(({ id }) => {
      const at = open.declaredAt.get(id);
      return text([id, at?.file.path, at?.pieceStart]);
    }),
    references: open.pieces.flatMap((piece) =>
      piece.lowered.declarations.flatMap(({ references }) =>
        references.map((reference) => text(resolveName(open.site, reference, unread))),
      ),
    ),
    outlines: depth === 'all' ? open.files.map((file) => text(outlineOf(file))) : [],
    facts: depth === 'all' ? factsOf(open).map(text) : [],
    roots: open.files.map((file) => text([file.path, workbench.rootsOf(file.path)])),
  };
}

function text(value: unknown): string {
  return JSON.stringify(value);
}
