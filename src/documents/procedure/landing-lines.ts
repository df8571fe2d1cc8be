/** What is landed in one enclosure, cable by cable, as lines for the person who lands it. */
import { cablesOfSite, endName } from '../../analysis/cabling/cables.js';
import type { CableEnd, SiteCable } from '../../analysis/cabling/cables.js';
import { coresOf } from '../../analysis/cabling/cores.js';
import type { CoreConnection } from '../../analysis/cabling/cores.js';
import { memoisedOnce } from '../../analysis/memo.js';
import type { Device } from '../../model/records.js';
import type { Site } from '../../model/site.js';
import { quantity } from '../document.js';
import { groupBy } from '../group-by.js';
import type { Phrase, Quantity } from '../document.js';
import { fittingText } from '../schedule/connection-schedule.js';
import { fittingsOf } from '../schedule/fittings.js';
import type { Fitting } from '../schedule/fittings.js';
import { procedureTexts as texts } from '../texts/procedure.js';
import { words } from '../texts/words.js';

interface LandedEnd {
  readonly cable: SiteCable;
  readonly end: CableEnd;
  readonly side: 'from' | 'to';
}

/**
 * One line for each cable end that is landed in the enclosure, then one for each thing fitted at
 * its terminals. A new device takes the ends of existing cables too.
 */
export function landingLines(site: Site, device: Device): readonly (string | Phrase)[] {
  const ends = (endsByOwner(site).get(device.name) ?? []).filter(
    ({ cable }) => !cable.existing || !device.existing,
  );
  const screened = ends.some(({ cable }) => cable.cable?.screened === true);
  // The line of a screened cable says already what becomes of its screen.
  const fittings = (fittingsByDevice(site).get(device.name) ?? []).filter(
    (fitting) => fitting.kind !== 'bond' || !screened,
  );
  return [
    ...ends.map((landed) => endLine(site, landed)),
    ...fittings.map((fitting) =>
      texts.fitting(fitting.member, fittingText(fitting), ohmsOf(fitting)),
    ),
  ];
}

const endsByOwner = memoisedOnce((site): ReadonlyMap<string, readonly LandedEnd[]> => {
  const ends = cablesOfSite(site).flatMap((cable): LandedEnd[] => [
    { cable, end: cable.from, side: 'from' },
    { cable, end: cable.to, side: 'to' },
  ]);
  return groupBy(ends, ({ end }) => end.owner);
});

const fittingsByDevice = memoisedOnce((site): ReadonlyMap<string, readonly Fitting[]> => {
  const fresh = fittingsOf(site).filter((one) => !one.existing);
  return groupBy(fresh, (fitting) => fitting.device);
});

function ohmsOf({ ohm }: Fitting): Quantity | '' {
  return ohm === undefined ? '' : quantity(ohm, 'ohm', 'stated');
}

function endLine(site: Site, landed: LandedEnd): string {
  const line = ownEndLine(site, landed);
  return landed.cable.existing ? texts.existingCable(line) : line;
}

function ownEndLine(site: Site, { cable, end, side }: LandedEnd): string {
  if (cable.duty === 'network') {
    return texts.landNetwork(cable.id, endName(end));
  }
  const cores = coresOf(site, cable).flatMap((core) => coreText(core, side));
  const line = cable.band === 'mains' ? texts.landMains : texts.land;
  return line(cable.id, end.member, cores.join(', '));
}

function coreText(core: CoreConnection, side: 'from' | 'to'): readonly string[] {
  const terminal = side === 'from' ? core.fromTerminal : core.toTerminal;
  switch (core.kind) {
    case 'screen': {
      const treatment = side === 'from' ? core.fromScreen : core.toScreen;
      return treatment === undefined ? [] : [texts.screenDone(words.screenTreatment[treatment])];
    }
    case 'spare':
      return [texts.spareCut(core.core)];
    case 'core-missing':
      return terminal === undefined ? [] : [texts.coreMissing(terminal)];
    case 'conductor':
    case 'protective-earth':
      return [
        terminal === undefined ? texts.cutBack(core.core) : texts.coreTo(core.core, terminal),
      ];
  }
}
