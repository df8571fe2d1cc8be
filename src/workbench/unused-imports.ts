/** `use` lines in the site's own folder that bring nothing anybody names. */
import { raisedFinding } from '../language/validate.js';
import type { Finding } from '../model/finding.js';
import { placeOf } from '../model/origin.js';
import type { Declaration, DeclarationKind } from '../model/records.js';
import type { OpenSite } from './open-site.js';

/** Files of these alone are libraries; any other declaration is part of the site by being there. */
const templates: ReadonlySet<DeclarationKind> = new Set([
  'use',
  'bustype',
  'cable',
  'equipment',
  'assembly',
]);

export function isTemplate({ kind }: Declaration): boolean {
  return templates.has(kind);
}

/** For each file the other files of which it names something. */
export type NamedAcross = ReadonlyMap<string, ReadonlyMap<string, unknown>>;

export interface ImportFacts {
  /** Whether a file stands in the site's own folder. */
  readonly isOwn: (path: string) => boolean;
  /** Whether a file declares templates alone. */
  readonly isLibrary: (path: string) => boolean;
  readonly named: NamedAcross;
}

export function unusedImports(
  open: Pick<OpenSite, 'targetsOfUse' | 'declaredAt' | 'uses'>,
  { isOwn, isLibrary, named }: ImportFacts,
): Finding[] {
  const edges = useEdges(open);
  if (edges.every((edge) => !isOwn(edge.from))) {
    return [];
  }
  const libraries = new Set([...open.uses.keys()].filter(isLibrary));
  return edges.flatMap((edge) => {
    const brought = new Set(edge.to.flatMap((path) => [...closureOf(open, path)]));
    const isUsed =
      [...brought].some((path) => !libraries.has(path)) ||
      [...named].some(
        ([from, paths]) => !brought.has(from) && [...paths.keys()].some((to) => brought.has(to)),
      );
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
  readonly to: readonly string[];
  readonly id: string;
  readonly path: string;
}

function useEdges({
  targetsOfUse,
  declaredAt,
}: Pick<OpenSite, 'targetsOfUse' | 'declaredAt'>): UseEdge[] {
  return [...targetsOfUse].flatMap(([id, to]) => {
    const at = declaredAt.get(id);
    const record = at?.declaration.record;
    return at === undefined || record?.kind !== 'use'
      ? []
      : [{ from: at.file.path, to, id, path: record.path }];
  });
}

function closureOf(open: Pick<OpenSite, 'uses'>, path: string): ReadonlySet<string> {
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
