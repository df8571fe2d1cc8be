/** Equipment that extends another: what it states itself, over what the other states. */
import type { Equipment } from '../model/equipment.js';
import type { Site } from '../model/site.js';

/** A variant with all that it takes over. Undefined for what is no variant, or extends itself. */
export function wholeVariant(
  site: Site,
  equipment: Equipment,
  seen: readonly string[] = [],
): Equipment | undefined {
  const { extends: base, name } = equipment;
  const stated = base === undefined || seen.includes(base) ? undefined : site.equipment.get(base);
  if (stated === undefined || base === name) {
    return undefined;
  }
  return over(wholeVariant(site, stated, [...seen, name]) ?? stated, equipment);
}

function over(base: Equipment, own: Equipment): Equipment {
  const { title, doc, deprecated, role, poeBudgetW } = own;
  // The other's description and its deprecation are its own.
  const { doc: _doc, deprecated: _deprecated, ...facts } = base;
  return {
    ...facts,
    name: own.name,
    ...(own.extends === undefined ? {} : { extends: own.extends }),
    ...(title === undefined ? {} : { title }),
    ...(doc === undefined ? {} : { doc }),
    ...(deprecated === undefined ? {} : { deprecated }),
    // A variant that states no role is read with "other".
    role: role === 'other' ? base.role : role,
    ...(poeBudgetW === undefined ? {} : { poeBudgetW }),
    inlets: merged(base.inlets, own.inlets, byName, overSupply),
    outlets: merged(base.outlets, own.outlets, byName, overSupply),
    ports: merged(base.ports, own.ports, byName, overPart),
    lans: merged(base.lans, own.lans, byName, overPart),
    supervises: merged(
      base.supervises,
      own.supervises,
      (one) => `${one.role} ${one.port}`,
      overPart,
    ),
    crossings: merged(base.crossings, own.crossings, (one) => `${one.from} ${one.to}`, overPart),
    // What was dangerous of the other is dangerous of this one too.
    cautions: [...new Set([...base.cautions, ...own.cautions])],
  };
}

const byName = ({ name }: { readonly name: string }): string => name;

function merged<Part>(
  base: readonly Part[],
  own: readonly Part[],
  keyOf: (part: Part) => string,
  put: (base: Part, own: Part) => Part,
): readonly Part[] {
  const stated = new Map(own.map((part) => [keyOf(part), part]));
  const known = new Set(base.map(keyOf));
  return [
    ...base.map((part) => {
      const other = stated.get(keyOf(part));
      return other === undefined ? part : put(part, other);
    }),
    ...own.filter((part) => !known.has(keyOf(part))),
  ];
}

/** A flag that is not written, and a list that is empty, state nothing. */
function overPart<Part extends object>(base: Part, own: Part): Part {
  const stated = Object.entries(own).filter(
    ([, value]) =>
      value !== undefined && value !== false && !(Array.isArray(value) && value.length === 0),
  );
  return { ...base, ...(Object.fromEntries(stated) as Partial<Part>) };
}

/** Current and power say the same thing, so that who states one leaves none of the others standing. */
function overSupply<Part extends object>(base: Part, own: Part): Part {
  const figures = ['currentA', 'powerVA', 'powerW'];
  const isStated = figures.some((figure) => figure in own);
  const kept = isStated
    ? Object.fromEntries(Object.entries(base).filter(([key]) => !figures.includes(key)))
    : base;
  return overPart(kept as Part, own);
}
