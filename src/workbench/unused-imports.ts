/** `use` lines in the site's own folder that bring nothing anybody names. */
import { raisedFinding } from '../language/validate.js';
import type { Finding } from '../model/finding.js';
import { placeOf } from '../model/origin.js';
import type { DeclarationKind } from '../model/records.js';
import type { OpenSite } from './open-site.js';

/** Files of these alone are libraries; any other declaration is part of the site by being there. */
const templates: ReadonlySet<DeclarationKind> = new Set([
  'use',
  'bustype',
  'cable',
  'equipment',
  'assembly',
]);

export function unusedImports(open: OpenSite, isOwn: (path: string) => boolean): Finding[] {
  const edges = useEdges(open);
  if (edges.every((edge) => !isOwn(edge.from))) {
    return [];
  }
  const named = namedAcross(open);
  const libraries = new Set(
    open.files
      .filter((file) =>
        file.pieces.every((piece) =>
          piece.lowered.declarations.every(({ record }) => templates.has(record.kind)),
        ),
      )
      .map((file) => file.path),
  );
  return edges.flatMap((edge) => {
    const brought = closureOf(open, edge.to);
    const isUsed =
      [...brought].some((path) => !libraries.has(path)) ||
      named.some(([from, to]) => !brought.has(from) && brought.has(to));
    return isUsed || !isOwn(edge.from)
      ? []
      : [
          raisedFinding('import-unused', edge.path, {
            at: placeOf(edge.id, 'path'),
            what: `Nothing that "${edge.path}" declares is used in this site.`,
            why: 'A reader looks for what it is needed for.',
            remedy: 'Remove the line.',
          }),
        ];
  });
}

interface UseEdge {
  readonly from: string;
  readonly to: string;
  readonly id: string;
  readonly path: string;
}

function useEdges(open: OpenSite): UseEdge[] {
  const edges: UseEdge[] = [];
  for (const { id, record } of open.site.entries) {
    const at = open.declaredAt.get(id);
    if (record.kind !== 'use' || at === undefined) {
      continue;
    }
    const target = open.targetOfUse.get(id);
    if (target !== undefined) {
      edges.push({ from: at.file.path, to: target, id, path: record.path });
    }
  }
  return edges;
}

/** Pairs of files, the first of which names something that the second declares. */
function namedAcross(open: OpenSite): [string, string][] {
  const pairs = new Map<string, [string, string]>();
  for (const { ids, lowered } of open.pieces) {
    lowered.declarations.forEach((declaration, position) => {
      const from = open.declaredAt.get(ids[position]!)?.file.path;
      for (const reference of declaration.references) {
        const entry =
          reference.owner === undefined ? open.site.byName.get(reference.name) : undefined;
        const to = entry && open.declaredAt.get(entry.id)?.file.path;
        if (from !== undefined && to !== undefined && from !== to) {
          pairs.set(`${from}\n${to}`, [from, to]);
        }
      }
    });
  }
  return [...pairs.values()];
}

function closureOf(open: OpenSite, path: string): ReadonlySet<string> {
  const closure = new Set<string>();
  const walk = (one: string): void => {
    if (!closure.has(one)) {
      closure.add(one);
      open.uses.get(one)?.forEach(walk);
    }
  };
  walk(path);
  return closure;
}
