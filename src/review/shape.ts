/**
 * A declaration as a tree in which every part has a key of its own, so that two versions are compared
 * part by part: landings by their terminal, ways and ports by name, never by their number in the text.
 */
import type { SiteEntry } from '../model/site.js';
import type { Landing } from '../model/wiring.js';

export type Leaf = string | number | boolean | null | readonly unknown[];
export interface Tree {
  readonly [key: string]: Tree | Leaf;
}

/** Names of the one version as the other has them. */
export type NewName = (name: string) => string;

/** A `use` line has no shape: between which files a site is divided is no matter of the site. */
export function shapeOf({ record }: SiteEntry, newName: NewName): Tree | undefined {
  return record.kind === 'use' ? undefined : treeOf(record, newName);
}

export function isTree(value: Tree | Leaf | undefined): value is Tree {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

/** Keys that hold names of declarations. */
const naming = new Set([
  'name',
  'device',
  'owner',
  'equipment',
  'busType',
  'cable',
  'extends',
  'replacedBy',
]);

function treeOf(record: object, newName: NewName): Tree {
  const tree: Record<string, Tree | Leaf> = {};
  for (const [key, value] of Object.entries(record) as [string, unknown][]) {
    if (value === undefined || key === 'index') {
      continue;
    }
    tree[key] = valueOf(key, value, newName);
  }
  return tree;
}

function valueOf(key: string, value: unknown, newName: NewName): Tree | Leaf {
  if (Array.isArray(value)) {
    return listOf(key, value, newName);
  }
  if (typeof value === 'object' && value !== null) {
    return treeOf(value, newName);
  }
  if (typeof value !== 'string') {
    return value as Leaf;
  }
  if (key === 'subject' || key === 'on') {
    return newMember(value, newName);
  }
  return naming.has(key) ? newName(value) : value;
}

function listOf(key: string, list: readonly unknown[], newName: NewName): Tree | Leaf {
  if (key === 'landings') {
    return landingsOf(list as readonly Landing[], newName);
  }
  if (key === 'units') {
    return keyed(list as readonly string[], newName, () => true);
  }
  if (key === 'carries') {
    return keyed(
      list as readonly (readonly string[])[],
      (path) => newMember(path.join('.'), newName),
      () => true,
    );
  }
  if (list.length === 0 || !list.every((one) => typeof one === 'object' && one !== null)) {
    return list;
  }
  if (list.some(Array.isArray)) {
    return list;
  }
  return keyed(
    list as readonly object[],
    (one) => keyOf(treeOf(one, newName)),
    (one) => treeOf(one, newName),
  );
}

function landingsOf(landings: readonly Landing[], newName: NewName): Tree {
  const keyOfLanding = (one: Landing) => `${newName(one.device)}.${one.member}`;
  const at = (index: number | undefined) => {
    const landing = index === undefined ? undefined : landings[index];
    return landing === undefined ? 'start' : keyOfLanding(landing);
  };
  const opener = (spur: number) =>
    landings.find((one) => one.spur === spur && one.opensSpur) ??
    landings.find((one) => one.spur === spur);
  return keyed(landings, keyOfLanding, (landing) => {
    const { device: _device, member: _member, opensSpur: _opens, from, spur, ...rest } = landing;
    const opening = spur === undefined ? undefined : opener(spur);
    return {
      ...treeOf(rest, newName),
      from: at(from),
      ...(opening === undefined ? {} : { spur: keyOfLanding(opening) }),
    };
  });
}

/** The key of a part in its list: its name, or what it is about. */
function keyOf(tree: Tree): string {
  if (typeof tree['device'] === 'string' && typeof tree['lan'] === 'string') {
    return `${tree['device']}.${tree['lan']}`;
  }
  for (const key of ['name', 'inlet', 'rule', 'port']) {
    if (typeof tree[key] === 'string') {
      return tree[key];
    }
  }
  if (tree['address'] !== undefined && Object.keys(tree).length === 1) {
    return 'address';
  }
  return JSON.stringify(tree);
}

/** A second part with the same key gets a number, so that nothing is lost. */
function keyed<Item>(
  list: readonly Item[],
  key: (item: Item) => string,
  value: (item: Item) => Tree | Leaf,
): Tree {
  const tree: Record<string, Tree | Leaf> = {};
  for (const item of list) {
    const name = key(item);
    let free = name;
    for (let number = 2; Object.hasOwn(tree, free); number++) {
      free = `${name} (${number})`;
    }
    tree[free] = value(item);
  }
  return tree;
}

function newMember(subject: string, newName: NewName): string {
  const whole = newName(subject);
  const dot = subject.lastIndexOf('.');
  return whole !== subject || dot < 0
    ? whole
    : `${newName(subject.slice(0, dot))}${subject.slice(dot)}`;
}
