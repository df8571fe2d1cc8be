/** Buses, feeds and containments. */
import { nearNames } from '../../analysis/near-names.js';
import type { Containment } from '../../model/records.js';
import type { Bus, Feed, Landing, PathName } from '../../model/wiring.js';
import type * as ast from '../generated/ast.js';
import { texts } from '../texts.js';
import { powerMembers, powerOwners } from './places.js';
import { defined, type Reader, type Span } from './reader.js';
import { knownColour } from './templates.js';

/** What a run's landings land on, with an example for messages. */
interface Target {
  readonly member: 'port' | 'inlet';
  readonly example: string;
}

export function lowerBus(reader: Reader, block: ast.BusBlock): Bus | undefined {
  const busType = reader.reference(block.busType, ['bustype']);
  const cable = reader.reference(block.cable, ['cable']);
  reader.mark('type', block, 'busType');
  reader.mark('cable', block, 'cable');
  const landings = lowerLandings(reader, block.lines, { member: 'port', example: 'OU-1.field' });
  let ring: Bus['ring'];
  for (const line of block.lines) {
    if (line.$type === 'RingLine') {
      reader.mark('ring', line);
      ring = defined({
        lengthM: reader.number(line, 'length', line.length, 'length'),
      }) as Bus['ring'];
    } else if (line.$type === 'LastLine') {
      reader.problem(
        {
          rule: 'syntax-error',
          ...texts.notHere(
            '"last" belongs into a feed with two outlets.',
            'In a bus, "ring" closes the run back to its first landing.',
          ),
        },
        reader.span(line),
      );
    }
  }
  if (busType === undefined) {
    reader.problem(
      {
        rule: 'syntax-error',
        ...texts.missing(
          'The bus type',
          'Write a colon and its name, as in "bus field-1 : EquipmentLink".',
        ),
      },
      block.busType === undefined ? reader.span(block, 'name') : undefined,
    );
    return undefined;
  }
  return defined({
    kind: 'bus' as const,
    name: block.name,
    ...reader.optionalText('title', block.title),
    busType,
    cable,
    existing: block.existing,
    landings,
    ring,
  }) as Bus;
}

export function lowerFeed(reader: Reader, block: ast.FeedBlock): Feed | undefined {
  const from = reader.member(block.source, powerOwners, powerMembers, 'PS-1.out');
  const and = reader.member(block.second, powerOwners, powerMembers, 'PS-2.out');
  const cable = reader.reference(block.cable, ['cable']);
  reader.mark('from', block, 'source');
  reader.mark('and', block, 'second');
  reader.mark('cable', block, 'cable');
  const landings = lowerLandings(reader, block.lines, { member: 'inlet', example: 'ZC-1.supply' });
  let lastM: number | undefined;
  for (const line of block.lines) {
    if (line.$type === 'LastLine') {
      reader.mark('last', line);
      lastM = reader.number(line, 'length', line.length, 'length');
    } else if (line.$type === 'RingLine') {
      reader.problem(
        {
          rule: 'syntax-error',
          ...texts.notHere(
            '"ring" belongs into a bus.',
            'A feed that closes on itself is written with "and" and the same outlet, and "last" for the closing cable.',
          ),
        },
        reader.span(line),
      );
    }
  }
  if (from === undefined) {
    reader.problem(
      {
        rule: 'syntax-error',
        ...texts.missing(
          'The outlet that feeds it',
          'Write "from" and the outlet, as in "from PS-1.out".',
        ),
      },
      block.source === undefined ? reader.span(block, 'name') : undefined,
    );
    return undefined;
  }
  return defined({
    kind: 'feed' as const,
    name: block.name,
    ...reader.optionalText('title', block.title),
    from,
    and,
    cable,
    existing: block.existing,
    landings,
    lastM,
  }) as Feed;
}

export function lowerContainment(reader: Reader, block: ast.ContainmentBlock): Containment {
  const carries: PathName[] = [];
  reader.mark('title', block, 'title');
  for (const line of block.lines) {
    const steps = (line.target?.steps ?? []).map((step) => step.$refText);
    if (steps.length === 0 || steps.includes('')) {
      continue;
    }
    reader.mark(`carries/${carries.length}`, line);
    reader.reference(
      line.target.steps[0],
      steps.length === 1 ? ['bus', 'feed'] : ['board', 'device'],
      undefined,
      steps[1],
    );
    for (let index = 1; index < steps.length; index++) {
      reader.reference(
        line.target.steps[index],
        [...powerMembers, 'part'],
        steps.slice(0, index).join('.'),
      );
    }
    carries.push(steps);
  }
  return defined({
    kind: 'containment' as const,
    name: block.name,
    ...reader.optionalText('title', block.title),
    divided: block.divided,
    carries,
  }) as Containment;
}

/** Whether a landing stands first in its run's text, even if one before it could not be read. */
type Place = 'first of the run' | 'later';

/** Flattens landings and spurs in text order; each knows the landing its cable comes from. */
function lowerLandings(reader: Reader, lines: readonly ast.RunLine[], target: Target): Landing[] {
  const landings: Landing[] = [];
  let spurs = 0;

  const walk = (
    members: readonly ast.RunLine[],
    before: number | undefined,
    spur: { number: number; block: ast.SpurBlock } | undefined,
  ): void => {
    let previous = before;
    let opensSpur = spur !== undefined;
    let place: Place = before === undefined && spur === undefined ? 'first of the run' : 'later';
    for (const line of members) {
      if (line.$type !== 'LandLine') {
        continue;
      }
      const index = landings.length;
      const landing = lowerLanding(
        reader,
        line,
        target,
        index,
        place,
        previous,
        opensSpur ? spur?.block : undefined,
        spur?.number,
      );
      place = 'later';
      if (landing === undefined) {
        continue;
      }
      landings.push(landing);
      previous = index;
      opensSpur = false;
      for (const block of line.spurs) {
        const number = spurs++;
        reader.mark(`spur/${number}`, block);
        walk(block.lines, index, { number, block });
      }
    }
  };
  walk(lines, undefined, undefined);
  return landings;
}

function lowerLanding(
  reader: Reader,
  line: ast.LandLine,
  target: Target,
  index: number,
  place: Place,
  from: number | undefined,
  opens: ast.SpurBlock | undefined,
  spur: number | undefined,
): Landing | undefined {
  const at = reader.member(line.target, ['device'], [target.member], target.example);
  const cable =
    reader.reference(line.cable, ['cable']) ?? reader.reference(opens?.cable, ['cable']);
  const parameter = reader.parameters.get(
    (opens === undefined ? line.lengthParameter : opens.lengthParameter) ?? '',
  );
  const meant =
    opens === undefined && parameter !== undefined ? undefined : flagMeant(reader, line);
  if (opens?.lengthParameter !== undefined && parameter === undefined) {
    flagMeant(reader, opens);
  }
  const ownLengthM = reader.number(line, 'lengths', line.lengths[0], 'length', 0);
  const spurLengthM =
    opens === undefined ? undefined : reader.number(opens, 'length', opens.length, 'length');
  if (line.lengths.length > 1) {
    reader.problem(
      { rule: 'syntax-error', ...texts.twice('The length') },
      reader.span(line, 'lengths', 1),
    );
  }
  if (at === undefined) {
    return undefined;
  }
  const ownLength = reader.span(line, 'lengths', 0);
  if (opens !== undefined && ownLength !== undefined) {
    reader.problem(
      {
        rule: 'syntax-error',
        ...texts.notHere(
          "A spur's first landing has no length of its own.",
          'Write the length after "spur": it is the cable from the terminal that the spur leaves.',
        ),
      },
      ownLength,
    );
  }
  const isFirst = place === 'first of the run' && from === undefined;
  if (target.member === 'port' && isFirst && ownLength !== undefined) {
    reader.problem(
      {
        rule: 'syntax-error',
        ...texts.notHere(
          "A bus's first landing has no cable before it, so it has no length.",
          'Remove the length, or move the line down.',
        ),
        ifWhole: true,
        understood: true,
        replacement: { title: 'Remove the length', text: '' },
      },
      ownLength,
    );
  }
  const header = reader.span(line);
  const cut = line.spurs[0] === undefined ? undefined : reader.span(line.spurs[0]);
  reader.markSpan(
    `land/${index}`,
    header && {
      start: header.start,
      end: cut === undefined ? header.end : beforeSpur(header, cut, line),
    },
  );
  reader.mark(`land/${index}/target`, line, 'target');
  if (line.target.steps.length > 1) {
    const cst = line.target.steps.map((step) => step.$refNode);
    const last = cst[cst.length - 1];
    const beforeLast = cst[cst.length - 2];
    reader.markSpan(`land/${index}/member`, last && { start: last.offset, end: last.end });
    reader.markSpan(
      `land/${index}/device`,
      cst[0] && beforeLast && { start: cst[0].offset, end: beforeLast.end },
    );
  }
  reader.markSpan(
    `land/${index}/length`,
    opens === undefined ? ownLength : reader.span(opens, 'length'),
  );
  reader.mark(`land/${index}/cable`, line, 'cable');
  for (const flag of ['terminated', 'bonded', 'covered', 'existing'] as const) {
    if (line[flag]) {
      reader.mark(`land/${index}/${flag}`, line, flag);
    }
  }
  if (line.cores.length > 0) {
    const first = reader.span(line, 'cores', 0);
    const last = reader.span(line, 'cores', line.cores.length - 1);
    reader.markSpan(`land/${index}/cores`, first && last && { start: first.start, end: last.end });
  }
  const cores = line.cores.filter((colour, position) =>
    knownColour(reader, line, colour, position, 'cores'),
  );
  return defined({
    index,
    device: at.owner,
    member: at.member,
    from,
    lengthM: parameter?.value ?? (opens === undefined ? ownLengthM : spurLengthM),
    lengthParameter: parameter?.name,
    spur,
    opensSpur: opens !== undefined,
    terminated: line.terminated || meant === 'terminated',
    bonded: line.bonded || meant === 'bonded',
    covered: line.covered || meant === 'covered',
    existing: line.existing || meant === 'existing',
    cable,
    cores: cores.length === 0 ? undefined : cores,
  }) as Landing;
}

/** A word that ends its line may be half typed, and the rest of the line still to come. */
function understoodAt(
  line: ast.LandLine | ast.SpurBlock,
  word: Span | undefined,
): { understood?: true } {
  const behind = line.$cstNode?.root.fullText.slice(word?.end ?? 0) ?? '';
  return /^[ \t]*(?:\r?\n|$)/u.test(behind) ? {} : { understood: true };
}

/** A word where only an assembly has one, its length parameter: here it is a flag that was misspelt, or nothing. */
function flagMeant(reader: Reader, line: ast.LandLine | ast.SpurBlock): string | undefined {
  const word = line.lengthParameter;
  if (word === undefined) {
    return undefined;
  }
  const flag = nearNames(word, ['terminated', 'bonded', 'covered', 'existing'], 1)[0];
  reader.problem(
    {
      rule: 'syntax-error',
      ...(flag === undefined
        ? texts.expected(`"${word}"`, '')
        : {
            ...texts.keywordMeant(word, flag),
            ...understoodAt(line, reader.span(line, 'lengthParameter')),
            replacement: { title: texts.changeTo(flag), text: flag },
          }),
    },
    reader.span(line, 'lengthParameter'),
  );
  return flag;
}

/** The end of a landing's own statement where a block of spurs follows: its last property before the brace. */
function beforeSpur(
  header: { start: number },
  spur: { start: number },
  line: ast.LandLine,
): number {
  const text = line.$cstNode?.root.fullText ?? '';
  const brace = text.lastIndexOf('{', spur.start - 1);
  return brace < header.start ? spur.start : text.slice(0, brace).trimEnd().length;
}
