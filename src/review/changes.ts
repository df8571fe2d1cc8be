/** What differs between two versions of a site, as plain data: facts of the models, never of their text. */
import { compareNames } from '../model/site.js';
import type { Site, SiteEntry } from '../model/site.js';
import { classOf, type ChangeClass } from './classes.js';
import { renamesBetween, type Rename } from './renames.js';
import { isTree, shapeOf, type Leaf, type Tree } from './shape.js';

/** One part of one declaration that is not as it was. */
export interface Change {
  readonly how: 'added' | 'removed' | 'changed';
  readonly class: ChangeClass;
  /** What kind of declaration: `device`, `bus`, `feed` … */
  readonly kind: string;
  /** The name of the declaration as the later version has it. */
  readonly name: string;
  /** The steps to the part inside it; empty for the declaration as a whole. */
  readonly path: readonly string[];
  /** Undefined where it was not there. */
  readonly before: Tree | Leaf | undefined;
  readonly after: Tree | Leaf | undefined;
}

export interface Changes {
  readonly renames: readonly Rename[];
  /** By class from strict to lenient, then by kind, name and path. */
  readonly changes: readonly Change[];
}

/** A site as trees by the key of each declaration. */
export type Shapes = ReadonlyMap<string, Tree>;

export function changesBetween(base: Site, head: Site): Changes {
  const renames = renamesBetween(base, head);
  const used = new Set([...base.templatesUsed, ...head.templatesUsed]);
  const before = shapesOf(base, renames);
  const after = shapesOf(head, []);
  const busTypeOf = (name: string) => head.busTypes.get(head.buses.get(name)?.busType ?? '');
  const changes: Change[] = [];
  for (const key of new Set([...before.keys(), ...after.keys()])) {
    const one = before.get(key);
    const other = after.get(key);
    const kind = String((other ?? one)!['kind']);
    for (const difference of differences(one, other, [])) {
      const name = key.slice(kind.length + 1);
      const isUsed = !['equipment', 'cable', 'bustype'].includes(kind) || used.has(name);
      const isOrdered = kind !== 'bus' || busTypeOf(name)?.shape !== 'free';
      changes.push({
        ...difference,
        class: classOf({ kind, ...difference, isUsed, isOrdered }),
        kind,
        name,
      });
    }
  }
  return { renames, changes: inOrder(changes) };
}

/** The shapes of a site's declarations, with its names as the later version has them. */
export function shapesOf(site: Site, renames: readonly Rename[]): Shapes {
  const names = new Map(renames.map(({ before, after }) => [before, after]));
  const newName = (name: string) => names.get(name) ?? name;
  const shapes = new Map<string, Tree>();
  for (const entry of site.entries) {
    const shape = shapeOf(entry, newName);
    if (shape !== undefined) {
      shapes.set(keyOf(entry, shape, shapes), shape);
    }
  }
  return shapes;
}

/** What the earlier shapes become when every change is made. */
export function applied(shapes: Shapes, changes: readonly Change[]): Shapes {
  const result = new Map(shapes);
  for (const { kind, name, path, after } of changes) {
    const key = `${kind} ${name}`;
    const whole = put(result.get(key), path, after);
    if (whole === undefined || !isTree(whole)) {
      result.delete(key);
    } else {
      result.set(key, whole);
    }
  }
  return result;
}

function keyOf({ record }: SiteEntry, shape: Tree, taken: Shapes): string {
  const name =
    record.kind === 'accept'
      ? `${record.rule} on ${String(shape['on'])}`
      : record.kind === 'observed'
        ? `${String(shape['subject'])} ${JSON.stringify(shape['seen'])}`
        : String(shape['name']);
  const key = `${record.kind} ${name}`;
  let free = key;
  for (let number = 2; taken.has(free); number++) {
    free = `${key} (${number})`;
  }
  return free;
}

type Difference = Pick<Change, 'how' | 'path' | 'before' | 'after'>;

function differences(
  before: Tree | Leaf | undefined,
  after: Tree | Leaf | undefined,
  path: readonly string[],
): readonly Difference[] {
  if (before === undefined || after === undefined) {
    return before === after
      ? []
      : [{ how: before === undefined ? 'added' : 'removed', path, before, after }];
  }
  if (isTree(before) && isTree(after)) {
    const keys = new Set([...Object.keys(before), ...Object.keys(after)]);
    return [...keys].flatMap((key) => differences(before[key], after[key], [...path, key]));
  }
  return JSON.stringify(before) === JSON.stringify(after)
    ? []
    : [{ how: 'changed', path, before, after }];
}

function put(
  value: Tree | Leaf | undefined,
  path: readonly string[],
  after: Tree | Leaf | undefined,
): Tree | Leaf | undefined {
  const [step, ...rest] = path;
  if (step === undefined) {
    return after;
  }
  const tree: Record<string, Tree | Leaf> = { ...(isTree(value) ? value : {}) };
  const inner = put(tree[step], rest, after);
  const kept = Object.entries(tree).filter(([key]) => key !== step);
  return Object.fromEntries(inner === undefined ? kept : [...kept, [step, inner]]);
}

function inOrder(changes: readonly Change[]): readonly Change[] {
  return [...changes].sort(
    (one, other) =>
      CLASS_ORDER.indexOf(one.class) - CLASS_ORDER.indexOf(other.class) ||
      compareNames(one.kind, other.kind) ||
      compareNames(one.name, other.name) ||
      compareNames(one.path.join(' '), other.path.join(' ')),
  );
}

/** From strict to lenient. */
export const CLASS_ORDER: readonly ChangeClass[] = [
  'safety',
  'rewire',
  'readdress',
  'renetwork',
  'material',
  'budget',
  'documentation',
];
