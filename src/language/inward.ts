/** From the names that an assembly offers to the devices that stand behind them. */
import type { AssemblyPart, Device } from '../model/records.js';
import { memberKey, type Site } from '../model/site.js';
import type { PathName } from '../model/wiring.js';

/** Deeper than this nobody nests by hand; what is deeper is taken for endless. */
export const DEEPEST_NESTING = 32;

/** A name within an instance, in the innermost names; as it is where nothing is behind it. */
export function inward(site: Site, assembly: string, path: PathName, depth = 0): PathName {
  const template = site.assemblies.get(assembly);
  if (template === undefined || depth > DEEPEST_NESTING) {
    return path;
  }
  const exposed =
    path.length === 1 ? template.exposes.find(({ name }) => name === path[0]) : undefined;
  const inner = exposed?.path ?? path;
  const part = deviceIn(template.parts, inner[0]);
  return part === undefined || inner.length < 2
    ? inner
    : [part.name, ...inward(site, part.equipment, inner.slice(1), depth + 1)];
}

/** The device among the parts of an assembly that has a name. */
export function deviceIn(
  parts: readonly AssemblyPart[],
  name: string | undefined,
): Device | undefined {
  return parts.find((part): part is Device => part.kind === 'device' && part.name === name);
}

interface Member {
  readonly owner: string;
  readonly member: string;
}

/** Rewrites the names in a record. */
export type MemberMap = (member: Member) => Member;

/** Names that an instance offers, as the names of what is in it. `site`: with devices as they are written. */
export function throughInstances(site: Site): MemberMap {
  return (member) => {
    const [first = '', ...rest] = [...member.owner.split('.'), member.member];
    const device = site.devices.get(first);
    if (device === undefined || !site.assemblies.has(device.equipment)) {
      return member;
    }
    const path = [first, ...inward(site, device.equipment, rest)];
    return { owner: path.slice(0, -1).join('.'), member: path[path.length - 1]! };
  };
}

/** The same for a dotted name that may as well be one of a part. */
export function throughInstancesText(map: MemberMap, name: string): string {
  const cut = name.lastIndexOf('.');
  if (cut < 0) {
    return name;
  }
  const { owner, member } = map({ owner: name.slice(0, cut), member: name.slice(cut + 1) });
  return memberKey(owner, member);
}
