/** When a result that was computed anew is the same as before. */

/** Whether two results are the same. */
export type Sameness<Value> = (one: Value, other: Value) => boolean;

/** Equal plain data, whatever objects it is made of: for results of which no part is compared by identity. */
export function isSameData(one: unknown, other: unknown): boolean {
  return isSame(one, other, 0, 'data');
}

/** Equal plain values and containers of the same members; members by identity. */
export function isSameResult(one: unknown, other: unknown): boolean {
  return isSame(one, other, 0, 'result');
}

/** Containers within containers are compared so deep. */
const deepest = 3;

function isSame(one: unknown, other: unknown, depth: number, as: 'data' | 'result'): boolean {
  if (Object.is(one, other)) {
    return true;
  }
  if (
    typeof one !== 'object' ||
    typeof other !== 'object' ||
    one === null ||
    other === null ||
    (as === 'result' && depth > deepest)
  ) {
    return false;
  }
  if (Array.isArray(one)) {
    return (
      Array.isArray(other) &&
      one.length === other.length &&
      one.every((value, index) => isSame(value, other[index], depth + 1, as))
    );
  }
  if (one instanceof Map) {
    return other instanceof Map && areSameEntries(one, other, depth, as);
  }
  if (one instanceof Set) {
    return other instanceof Set && one.size === other.size && areSameMembers(one, other);
  }
  return (as === 'data' || depth === 0) && areSameObjects(one, other, depth, as);
}

/** The order counts: whoever walks the container meets them in it. */
function areSameEntries(
  one: ReadonlyMap<unknown, unknown>,
  other: ReadonlyMap<unknown, unknown>,
  depth: number,
  as: 'data' | 'result',
): boolean {
  if (one.size !== other.size) {
    return false;
  }
  const others = other.entries();
  for (const [key, value] of one) {
    const next = others.next();
    if (next.done || next.value[0] !== key || !isSame(value, next.value[1], depth + 1, as)) {
      return false;
    }
  }
  return true;
}

function areSameMembers(one: ReadonlySet<unknown>, other: ReadonlySet<unknown>): boolean {
  const others = other.values();
  for (const member of one) {
    if (others.next().value !== member) {
      return false;
    }
  }
  return true;
}

function areSameObjects(one: object, other: object, depth: number, as: 'data' | 'result'): boolean {
  if (Object.getPrototypeOf(one) !== Object.prototype || Array.isArray(other)) {
    return false;
  }
  if (Object.getPrototypeOf(other) !== Object.prototype) {
    return false;
  }
  const keys = Object.keys(one);
  return (
    keys.length === Object.keys(other).length &&
    keys.every(
      (key) =>
        Object.hasOwn(other, key) &&
        isSame(
          (one as Record<string, unknown>)[key],
          (other as Record<string, unknown>)[key],
          depth + 1,
          as,
        ),
    )
  );
}
