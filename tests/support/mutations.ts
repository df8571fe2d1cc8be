/** Changes of what a site means: wiring mistakes as they are made on paper, put into its text. */
import type { Random } from './random.js';
import { slip, slipKinds } from './slips.js';
import type { RightSite } from './slip-sites.js';

/** Changes one text of a site; undefined where it has no place for the change. */
type Change = (text: string, random: Random) => string | undefined;

/** Replaces one match of a pattern, chosen at random. */
function one(pattern: RegExp, put: (match: RegExpExecArray, random: Random) => string): Change {
  return (text, random) => {
    const matches = [...text.matchAll(pattern)] as RegExpExecArray[];
    if (matches.length === 0) {
      return undefined;
    }
    const match = random.pick(matches);
    const to = put(match, random);
    return text.slice(0, match.index) + to + text.slice(match.index + match[0].length);
  };
}

const remove = (pattern: RegExp) => one(pattern, () => '');
/** Takes over a part of another place that matches the same pattern. */
function swapIn(pattern: RegExp): Change {
  return (text, random) => {
    const found = [...text.matchAll(pattern)].map((match) => match[1]!);
    return one(pattern, ([all, own]) => all.replace(own!, () => random.pick(found)))(text, random);
  };
}
const append = (lines: (text: string, random: Random) => string | undefined): Change => {
  return (text, random) => {
    const more = lines(text, random);
    return more === undefined ? undefined : `${text.trimEnd()}\n\n${more}\n`;
  };
};

function pickName(text: string, pattern: RegExp, random: Random): string | undefined {
  const names = [...text.matchAll(pattern)].map((match) => match[1]!);
  return names.length === 0 ? undefined : random.pick(names);
}

const landing = /^ +land (\S+)[^\n{}]*$/gmu;

export const mutations: Readonly<Record<string, Change>> = {
  'a terminator left out': remove(/ terminated\b/gu),
  'a terminator too many': one(landing, ([line]) =>
    line.includes('terminated') ? line : `${line} terminated`,
  ),
  'a screen not bonded': remove(/ bonded\b/gu),
  'a screen bonded twice': one(landing, ([line]) =>
    line.includes('bonded') ? line : `${line} bonded`,
  ),
  'a cover left out': remove(/ covered\b/gu),
  'an address of another device': swapIn(/\baddress (\d+)/gu),
  'an address out of range': one(/\baddress \d+/gu, () => 'address 999'),
  'a reserved address': one(/\baddress \d+/gu, (_, random) => `address ${random.pick([13, 16])}`),
  'an address left out': remove(/ *\baddress \d+ */gu),
  'a cable too long': one(
    / (\d+(?:\.\d+)?) m\b/gu,
    (_, random) => ` ${random.integer(150, 900)} m`,
  ),
  'a port landed twice': one(/^( +land )(\S+)([^\n{}]*)$/gmu, (match, random) => {
    const names = [...match.input.matchAll(landing)].map(([, name]) => name!);
    return `${match[0]}\n  land ${random.pick(names)} 3 m`;
  }),
  'a landing left out': remove(/^ +land [^\n{}]*\n/gmu),
  'a landing moved': (text, random) => {
    const landings = [...text.matchAll(/^ +land [^\n{}]*\n/gmu)];
    if (landings.length === 0) {
      return undefined;
    }
    const moved = random.pick(landings);
    const without = text.slice(0, moved.index) + text.slice(moved.index + moved[0].length);
    return one(/^ +land [^\n{}]*\n/gmu, ([line]) => line + moved[0])(without, random);
  },
  'a port of another kind': one(/(land \S+?\.)(\w+)/gu, ([, owner], random) => {
    return `${owner}${random.pick(['field', 'room', 'link', 'supply', 'zone', 'trunk', 'units'])}`;
  }),
  'an inlet line left out': remove(/ *\binlet \w+ from [^\n}]*?(?=\n| \})/gu),
  'another way': swapIn(/\bfrom (DB-\w+\.W\d)/gu),
  'an inlet line on an outlet': one(/\bfrom DB-\w+\.W\d/gu, () => 'from PS-1.out'),
  'a feed left out': remove(/^feed [^\n]*\{(?:\n[^}]*| [^\n}]*)\}\n/gmu),
  'a second load on a feed': one(/^( +)(land \S+\.supply[^\n}]*)$/gmu, (match, random) => {
    const device = pickName(match.input, /^device (\S+)/gmu, random);
    return `${match[0]}\n  land ${device}.supply 4 m`;
  }),
  'a feed from a way': one(/^(feed [^\n]*?from )\S+/gmu, ([, head], random) => {
    return `${head}${random.pick(['DB-1.W3', 'DB-M.W5', 'PS-1.out', 'PS-2.out'])}`;
  }),
  'a small way': one(/(\d+) A curve/gu, () => '1 A curve'),
  'another bus type': swapIn(/^bus \S+(?: "[^"]*")? : (\w+)/gmu),
  'another cable': swapIn(/\busing ([\w-]+)/gu),
  'other equipment': swapIn(/^device \S+(?: "[^"]*")? : ([\w-]+)/gmu),
  'another main controller': one(
    /^(device \S+ : (?:WallController|FloorPanel|SiteGateway|TrunkPanel)[^{\n]*)( \{|$)/gmu,
    ([, head, tail]) => `${head} main${tail}`,
  ),
  'no divider': remove(/ divided\b/gu),
  'cores swapped': one(/^( +land \S+)([^\n{}]*)$/gmu, ([, head, tail], random) => {
    return `${head}${tail} cores ${random.pick(['WH, BK', 'BK, WH', 'PK, GY', 'BN, WH'])}`;
  }),
  'no lock': remove(/ lockable\b/gu),
  'a host outside': one(/(host \S+ )\d+\.\d+\.\d+\.\d+/gu, ([, head], random) => {
    return `${head}${random.pick(['10.99.1.20', '10.40.8.0', '10.40.8.255', '10.62.4.0', '10.40.8.120', '10.62.4.150'])}`;
  }),
  'a host of another address': swapIn(/(?:host \S+|laptop|router \S+) (\d+\.\d+\.\d+\.\d+)/gu),
  'no laptop': remove(/^ +laptop [^\n]*\n/gmu),
  'a laptop outside': one(/laptop \S+/gu, () => 'laptop 192.0.2.7'),
  'a router outside': one(/router (\S+) \S+/gu, ([, name]) => `router ${name} 10.98.1.1`),
  'a pool outside': one(/pool \S+ \.\. \S+/gu, () => 'pool 10.97.1.10 .. 10.97.1.20'),
  'a second network': append(() => 'network second 10.0.0.0/8 {\n  laptop 10.0.0.9\n}'),
  'a plain page': one(/"https:/gu, () => '"http:'),
  'an old certificate': one(/expires \S+/gu, () => 'expires 2025-01-31'),
  'a certificate of another name': one(/^( +name )"[^"]*"/gmu, ([, head]) => `${head}"10.9.9.9"`),
  'a waiver of nothing': append((text, random) => {
    const bus = pickName(text, /^bus (\S+)/gmu, random);
    return bus && `accept stub-too-long on ${bus} because "agreed" until 2027-03-31`;
  }),
  'a waiver that may not be': append((text, random) => {
    const device = pickName(text, /^device (\S+)/gmu, random);
    return device && `accept isolation-unknown on ${device} because "agreed" until 2027-03-31`;
  }),
  'an old waiver': one(/until \d{4}/gu, () => 'until 2024'),
  'a stub': one(/^( +land \S+ [^\n{}]*)$/gmu, (match, random) => {
    const names = [...match.input.matchAll(landing)].map(([, name]) => name!);
    return `${match[0]} {\n    spur 9 m { land ${random.pick(names)} }\n  }`;
  }),
  'a device nobody uses': append((text, random) => {
    const equipment = pickName(text, /^device \S+(?: "[^"]*")? : ([\w-]+)/gmu, random);
    return equipment && `device NEW-1 : ${equipment}`;
  }),
  'a template nobody uses': append(
    () => 'cable Odd "2-core" {\n  cores 2 x 0.75 mm2 class 5\n  colours BK, WH\n}',
  ),
  'a device without a room': remove(/ in [A-Z]\w+(?=[ \n])/gu),
};

/** A site with one to three mistakes in it, and what was done to it. */
export function brokenSite(
  site: RightSite,
  random: Random,
): { readonly files: Readonly<Record<string, string>>; readonly done: readonly string[] } {
  let files = site.files;
  const done: string[] = [];
  const wanted = random.integer(1, 3);
  for (let attempt = 0; done.length < wanted && attempt < 20; attempt++) {
    if (random.next() < 0.15) {
      // A slip is made in the site as it was: mistakes of meaning and of spelling come together.
      const kind = random.pick(slipKinds);
      const made = done.length === 0 ? slip(site, kind, random) : undefined;
      if (made !== undefined) {
        files = made.files;
        done.push(kind);
      }
      continue;
    }
    const name = random.pick(Object.keys(mutations));
    const text = mutations[name]!(files[site.root]!, random);
    if (text !== undefined && text !== files[site.root]) {
      files = { ...files, [site.root]: text };
      done.push(name);
    }
  }
  return { files, done };
}
