/** The material list: equipment, cable with its reels, small material, tools. */
import { ROLES, isValueOf } from '../../model/values.js';
import type { SiteCable } from '../../analysis/cabling/cables.js';
import { memberKey } from '../../model/site.js';
import type { Site } from '../../model/site.js';
import {
  boxColumn,
  caution,
  count,
  list,
  missing,
  note,
  numberColumn,
  paragraph,
  quantity,
  tableOf,
  textColumn,
} from '../document.js';
import type { Block, Document, Mark, Missing, Quantity, Section } from '../document.js';
import { groupBy } from '../group-by.js';
import { leastSure, markOf } from '../marks.js';
import { materialTexts as texts } from '../texts/material.js';
import { words } from '../texts/words.js';
import { CUT_ALLOWANCE } from '../../analysis/cabling/cutting.js';
import { FERRULE_SOURCE, ferruleFor } from './ferrules.js';
import {
  cableLines,
  coreLabelCount,
  coversToOrder,
  equipmentLines,
  ferruleLines,
  glandLines,
  isolatedPoint,
  mainsParts,
  terminatorsToOrder,
} from './quantities.js';
import type { CableLine, EquipmentLine, MainsPart } from './quantities.js';

export function materialList(site: Site): Document {
  const cables = cableLines(site);
  return {
    id: 'material',
    title: texts.title,
    orientation: 'portrait',
    introduction: [paragraph(texts.about)],
    sections: [
      equipmentSection(site),
      ...mainsSection(site),
      cableSection(cables),
      ...cuttingSection(cables),
      smallSection(site),
      toolsSection(site),
    ],
  };
}

const { columns: headings } = texts;

function equipmentSection(site: Site): Section {
  return {
    heading: texts.sections.equipment,
    blocks: [
      tableOf<EquipmentLine>(
        'material-equipment',
        '',
        [
          textColumn(headings.kind, (line) => line.name),
          textColumn(headings.title, (line) => line.equipment?.title ?? equipmentTitle(line)),
          textColumn(headings.role, (line) => roleText(line)),
          numberColumn(headings.pieces, '', (line) => count(line.devices.length)),
          textColumn(headings.names, (line) => line.devices.map((one) => one.name).join(', ')),
          boxColumn(headings.received),
        ],
        equipmentLines(site),
      ),
    ],
  };
}

function equipmentTitle(line: EquipmentLine): string {
  return line.equipment === undefined ? texts.equipmentUnknown : '';
}

function roleText(line: EquipmentLine): string {
  const role = line.equipment?.role ?? '';
  return isValueOf(ROLES, role) ? role : '';
}

function mainsSection(site: Site): readonly Section[] {
  const parts = mainsParts(site);
  if (parts.length === 0) {
    return [];
  }
  return [
    {
      heading: texts.sections.mains,
      blocks: [
        paragraph(texts.mainsAbout),
        tableOf<MainsPart>(
          'material-mains',
          '',
          [
            textColumn(headings.item, mainsText),
            numberColumn(headings.value, 'A', ratedCurrent),
            textColumn(headings.note, mainsNote),
            numberColumn(headings.pieces, '', () => count(1)),
            boxColumn(headings.received),
          ],
          parts,
        ),
      ],
    },
  ];
}

function mainsText(part: MainsPart): string {
  switch (part.kind) {
    case 'board':
      return texts.mainsPart.board(part.board.name);
    case 'way':
      return texts.mainsPart.way(memberKey(part.board.name, part.way.name));
    case 'isolator':
      return texts.mainsPart.isolator(part.isolator.name, isolatedPoint(part.isolator));
  }
}

function ratedCurrent(part: MainsPart): Quantity | Missing | '' {
  if (part.kind !== 'way') {
    return '';
  }
  return part.way.ratedA === undefined
    ? missing(words.notStated)
    : quantity(part.way.ratedA, 'A', 'stated');
}

function mainsNote(part: MainsPart): string {
  switch (part.kind) {
    case 'board':
      return part.board.title ?? '';
    case 'way':
      return [
        part.way.threePhase ? texts.mainsPart.threePhase : '',
        part.way.curve === undefined ? '' : texts.mainsPart.curve(part.way.curve),
        part.way.title ?? '',
      ]
        .filter((text) => text !== '')
        .join(', ');
    case 'isolator':
      return part.isolator.lockable ? texts.mainsPart.lockable : '';
  }
}

function cableSection(cables: readonly CableLine[]): Section {
  const named = cables.filter((line) => line.name !== undefined);
  const unnamed = cables.find((line) => line.name === undefined);
  return {
    heading: texts.sections.cable,
    blocks: [
      paragraph(
        texts.cableAbout(
          quantity(CUT_ALLOWANCE.percent, '%', 'assumed'),
          quantity(CUT_ALLOWANCE.leastM, 'm', 'assumed'),
        ),
      ),
      tableOf<CableLine>(
        'material-cable',
        '',
        [
          textColumn(headings.cable, (line) => line.name ?? texts.noType),
          textColumn(headings.title, (line) => line.cable?.title ?? ''),
          numberColumn(headings.runs, '', (line) =>
            count(line.measured.length + line.unmeasured.length),
          ),
          numberColumn(headings.runsLength, 'm', (line) =>
            quantity(line.runsM, 'm', lengthMark(line), 2),
          ),
          numberColumn(headings.cutsLength, 'm', (line) => quantity(line.cutsM, 'm', 'assumed', 1)),
          numberColumn(headings.reelLength, 'm', (line) =>
            line.cable?.reelM === undefined
              ? missing(texts.noReel)
              : quantity(line.cable.reelM, 'm', 'stated'),
          ),
          numberColumn(headings.reels, '', (line) =>
            line.plan === undefined ? '' : count(line.plan.reels.length),
          ),
          numberColumn(headings.waste, 'm', (line) =>
            line.plan === undefined
              ? ''
              : quantity(
                  line.plan.reels.reduce((rest, reel) => rest + reel.restM, 0),
                  'm',
                  'assumed',
                  1,
                ),
          ),
          numberColumn(headings.unmeasured, '', (line) => count(line.unmeasured.length)),
          boxColumn(headings.received),
        ],
        named,
      ),
      ...named.flatMap((line) => [...unmeasuredNote(line.unmeasured), ...tooLongNotes(line)]),
      ...(unnamed === undefined
        ? []
        : [
            tableOf<SiteCable>(
              'material-cable-without-type',
              texts.cablesWithoutType,
              [
                textColumn(headings.run, (cable) => cable.id),
                numberColumn(headings.runsLength, 'm', (cable) =>
                  cable.lengthM === null
                    ? missing(words.lengthUnknown)
                    : quantity(cable.lengthM, 'm', markOf(cable.lengthBasis), 2),
                ),
                textColumn(headings.note, (cable) => words.band[cable.band]),
              ],
              [...unnamed.measured, ...unnamed.unmeasured],
            ),
          ]),
    ],
  };
}

function lengthMark(line: CableLine): Mark {
  return leastSure(line.measured.map((cable) => markOf(cable.lengthBasis)));
}

function unmeasuredNote(cables: readonly SiteCable[]): readonly Block[] {
  return cables.length === 0
    ? []
    : [caution(texts.unmeasured(cables.map((cable) => cable.id).join(', ')))];
}

function tooLongNotes(line: CableLine): readonly Block[] {
  return (line.plan?.tooLong ?? []).map((cut) =>
    caution(texts.tooLong(cut.id, quantity(cut.cutM, 'm', 'assumed', 1))),
  );
}

interface CutRow {
  readonly type: string;
  readonly reel: number;
  readonly order: number;
  readonly id: string;
  readonly cutM: number;
}

function cuttingSection(cables: readonly CableLine[]): readonly Section[] {
  const planned = cables.filter((line) => (line.plan?.reels.length ?? 0) > 0);
  if (planned.length === 0) {
    return [];
  }
  return [
    {
      heading: texts.sections.cutting,
      blocks: [
        paragraph(texts.cuttingAbout),
        ...planned.map((line) =>
          tableOf<CutRow>(
            'material-cutting',
            texts.reelCaption(line.name ?? ''),
            [
              textColumn(headings.cable, (row) => row.type, 'data'),
              textColumn(headings.reel, (row) => String(row.reel)),
              textColumn(headings.order, (row) => String(row.order)),
              textColumn(headings.run, (row) => row.id),
              numberColumn(headings.cut, 'm', (row) => quantity(row.cutM, 'm', 'assumed', 1)),
              boxColumn(headings.done),
            ],
            cutRows(line),
          ),
        ),
      ],
    },
  ];
}

function cutRows(line: CableLine): readonly CutRow[] {
  return (line.plan?.reels ?? []).flatMap((reel, reelIndex) =>
    reel.cuts.map((cut, index) => ({
      type: line.name ?? '',
      reel: reelIndex + 1,
      order: index + 1,
      id: cut.id,
      cutM: cut.cutM,
    })),
  );
}

interface SmallLine {
  readonly item: string;
  readonly value: Quantity | '';
  readonly pieces: number;
  readonly where: string;
  readonly note: string;
}

function smallSection(site: Site): Section {
  const ferrules = ferruleLines(site);
  return {
    heading: texts.sections.small,
    blocks: [
      tableOf<SmallLine>(
        'material-small',
        '',
        [
          textColumn(headings.item, (line) => line.item),
          numberColumn(headings.value, undefined, (line) => line.value),
          numberColumn(headings.pieces, '', (line) => count(line.pieces)),
          textColumn(headings.names, (line) => line.where),
          textColumn(headings.note, (line) => line.note),
          boxColumn(headings.received),
        ],
        [
          ...terminatorLines(site),
          ...coverLines(site),
          ...ferrulesOf(site),
          ...glandsOf(site),
          ...labelLines(site),
        ],
      ),
      ...(ferrules.length === 0 ? [] : [note(texts.ferruleSource(FERRULE_SOURCE))]),
    ],
  };
}

function terminatorLines(site: Site): readonly SmallLine[] {
  return [...groupBy(terminatorsToOrder(site), ({ ohm }) => ohm)]
    .sort(([one], [other]) => (one ?? Number.MAX_VALUE) - (other ?? Number.MAX_VALUE))
    .map(([ohm, fittings]) => ({
      item: texts.small.terminator,
      value: ohm === undefined ? '' : quantity(ohm, 'ohm', 'stated'),
      pieces: fittings.length,
      where: fittings.map((one) => memberKey(one.device, one.member)).join(', '),
      note: texts.smallNotes.terminator,
    }));
}

function coverLines(site: Site): readonly SmallLine[] {
  const covers = coversToOrder(site);
  return covers.length === 0
    ? []
    : [
        {
          item: texts.small.cover,
          value: '',
          pieces: covers.length,
          where: covers.map((one) => memberKey(one.device, one.member)).join(', '),
          note: texts.smallNotes.cover,
        },
      ];
}

function ferrulesOf(site: Site): readonly SmallLine[] {
  return ferruleLines(site).map((line) => {
    const ferrule = ferruleFor(line.size);
    return {
      item:
        ferrule === undefined ? texts.small.ferruleUnknown : texts.small.ferrule(ferrule.colour),
      value:
        ferrule === undefined
          ? quantity(
              line.size.mm2 ?? line.size.awg,
              line.size.mm2 === undefined ? 'AWG' : 'mm2',
              'stated',
            )
          : quantity(
              ferrule.sizeMm2,
              'mm2',
              line.size.mm2 === ferrule.sizeMm2 ? 'stated' : 'computed',
            ),
      pieces: line.ends,
      where: '',
      note: [texts.smallNotes.ferrule, line.classAssumed ? texts.smallNotes.classAssumed : '']
        .filter((text) => text !== '')
        .join(' '),
    };
  });
}

function glandsOf(site: Site): readonly SmallLine[] {
  return glandLines(site).map((line) => ({
    item: texts.small.gland(line.cableName ?? texts.noType),
    value: '',
    pieces: line.entries,
    where: line.owners.join(', '),
    note: texts.smallNotes.gland,
  }));
}

function labelLines(site: Site): readonly SmallLine[] {
  const labels = coreLabelCount(site);
  return labels === 0
    ? []
    : [
        {
          item: texts.small.label,
          value: '',
          pieces: labels,
          where: '',
          note: texts.smallNotes.label,
        },
      ];
}

function toolsSection(site: Site): Section {
  const { tools } = texts;
  return {
    heading: texts.sections.tools,
    blocks: [
      list([
        tools.voltage,
        tools.locks,
        tools.covers,
        tools.multimeter,
        tools.insulation,
        tools.stripper,
        tools.crimp,
        tools.torque,
        tools.printer,
        ...(site.networks.size === 0 ? [] : [tools.laptop, tools.networkTester]),
      ]),
    ],
  };
}
