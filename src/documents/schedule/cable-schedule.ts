/** The cable schedule: one row for each cable, with the length to cut and room for the measured one. */
import { endName } from '../../analysis/cabling/cables.js';
import type { SiteCable } from '../../analysis/cabling/cables.js';
import type { Site } from '../../model/site.js';
import {
  list,
  numberColumn,
  paragraph,
  quantity,
  tableOf,
  textColumn,
  writeColumn,
} from '../document.js';
import type { Document, Missing, Quantity } from '../document.js';
import { lengthCell, placeText, sizeCell } from '../marks.js';
import { cutLengthM } from '../../analysis/cabling/cutting.js';
import { scheduleTexts as texts } from '../texts/schedule.js';
import { words } from '../texts/words.js';
import { cablesOfPhase } from './connection-rows.js';
import type { Phase } from './connection-rows.js';

export function cableSchedule(site: Site, phase: Phase): Document {
  const { columns: headings } = texts;
  return {
    id: 'cable-schedule',
    title: texts.cableTitle,
    orientation: 'landscape',
    introduction: [paragraph(texts.cableAbout), list(texts.cableIntroduction)],
    sections: [
      {
        heading: texts.cableTitle,
        blocks: [
          tableOf<SiteCable>(
            'cable-schedule',
            '',
            [
              textColumn(headings.cable, (cable) => cable.id),
              textColumn(headings.circuit, (cable) => cable.circuit),
              textColumn(headings.cableType, (cable) => cable.cableName ?? words.notStated),
              textColumn(headings.cores, coresText),
              numberColumn(headings.size, undefined, (cable) => sizeCell(cable.cable?.cores?.size)),
              textColumn(headings.band, (cable) => words.band[cable.band]),
              textColumn(headings.from, (cable) => endName(cable.from)),
              textColumn(headings.fromPlace, (cable) => placeText(cable.from.room)),
              textColumn(headings.to, (cable) => endName(cable.to)),
              textColumn(headings.toPlace, (cable) => placeText(cable.to.room)),
              numberColumn(headings.length, 'm', lengthCell),
              numberColumn(headings.cut, 'm', cutCell),
              writeColumn(headings.measured),
              textColumn(headings.work, (cable) => (cable.existing ? words.existing : words.fresh)),
              textColumn(headings.note, (cable) =>
                cable.band === 'mains' ? texts.notes.mains : '',
              ),
            ],
            cablesOfPhase(site, phase),
          ),
        ],
      },
    ],
  };
}

/** Nothing is cut for what is there already. */
function cutCell(cable: SiteCable): Quantity | Missing | '' {
  if (cable.existing || cable.lengthM === null) {
    return '';
  }
  return quantity(cutLengthM(cable.lengthM, cable.cable?.reelM), 'm', 'assumed', 1);
}

function coresText(cable: SiteCable): string {
  const cores = cable.cable?.cores;
  return cores === undefined ? '' : texts.coresText(cores.count, cable.cable?.screened === true);
}
