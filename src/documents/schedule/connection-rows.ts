/** The rows of the connection schedule: one for each core of each cable, from end to end. */
import { cablesOfSite, endName } from '../../analysis/cabling/cables.js';
import type { CableEnd, SiteCable } from '../../analysis/cabling/cables.js';
import { coresOf } from '../../analysis/cabling/cores.js';
import type { CoreConnection } from '../../analysis/cabling/cores.js';
import type { Site } from '../../model/site.js';
import { scheduleTexts as texts } from '../texts/schedule.js';
import { words } from '../texts/words.js';

/** A row: a cable and one of its cores; a network cable is one row as a whole. */
export interface ConnectionRow {
  readonly cable: SiteCable;
  readonly core: CoreConnection | undefined;
  /** As printed: `BK`, `RD (spare)`, `screen`. */
  readonly coreText: string;
  readonly signal: string;
  readonly fromText: string;
  readonly toText: string;
  readonly labelFrom: string;
  readonly labelTo: string;
  readonly notes: readonly string[];
}

/** Which part of the work a list is about: what is new, or everything. */
export type Phase = 'new' | 'all';

/** The cables of a phase, in the order of the schedules. */
export function cablesOfPhase(site: Site, phase: Phase): readonly SiteCable[] {
  return cablesOfSite(site).filter((cable) => phase === 'all' || !cable.existing);
}

export function rowsOfCable(site: Site, cable: SiteCable): readonly ConnectionRow[] {
  if (cable.duty === 'network') {
    return [networkRow(cable)];
  }
  return coresOf(site, cable).map((core) => rowOf(site, cable, core));
}

function networkRow(cable: SiteCable): ConnectionRow {
  return {
    cable,
    core: undefined,
    coreText: texts.allPairs,
    signal: texts.signalOf.network,
    fromText: `${endName(cable.from)}`,
    toText: `${endName(cable.to)}`,
    labelFrom: `${cable.id} / ${endName(cable.from)}`,
    labelTo: `${cable.id} / ${endName(cable.to)}`,
    notes: cable.cableName === undefined ? [texts.notes.noCable] : [],
  };
}

function rowOf(site: Site, cable: SiteCable, core: CoreConnection): ConnectionRow {
  return {
    cable,
    core,
    coreText: coreText(core),
    signal: signalOf(site, cable, core),
    fromText: terminalText(cable.from, core.fromTerminal, core.fromScreen),
    toText: terminalText(cable.to, core.toTerminal, core.toScreen),
    labelFrom: labelText(cable, core, cable.from, core.fromTerminal),
    labelTo: labelText(cable, core, cable.to, core.toTerminal),
    notes: notesOf(cable, core),
  };
}

function coreText(core: CoreConnection): string {
  switch (core.kind) {
    case 'screen':
      return words.screen;
    case 'spare':
      return texts.spareCore(core.core);
    case 'core-missing':
      return texts.coreNotStated;
    case 'conductor':
    case 'protective-earth':
      return core.core;
  }
}

function signalOf(site: Site, cable: SiteCable, core: CoreConnection): string {
  if (core.kind === 'spare') {
    return words.spare;
  }
  if (core.kind === 'screen') {
    return words.screen;
  }
  if (core.conductor === 'PE') {
    return texts.signalOf.protectiveEarth;
  }
  return cable.duty === 'bus'
    ? texts.signalOf.bus(site.buses.get(cable.circuit)?.busType ?? cable.circuit, core.conductor)
    : texts.signalOf.supply(core.conductor);
}

/** `OU-1.field:CA`; for a screen what is done with it. */
function terminalText(
  end: CableEnd,
  terminal: string | undefined,
  screen: CoreConnection['fromScreen'],
): string {
  const strip = terminal === undefined ? endName(end) : `${endName(end)}:${terminal}`;
  return screen === undefined ? strip : `${strip}, ${words.screenTreatment[screen]}`;
}

function labelText(
  cable: SiteCable,
  core: CoreConnection,
  end: CableEnd,
  terminal: string | undefined,
): string {
  if (core.kind === 'spare') {
    return texts.spareLabel(cable.id, core.core);
  }
  const strip = terminal === undefined ? endName(end) : `${endName(end)}:${terminal}`;
  return [core.wireNumber, strip].filter((text) => text !== '').join(' / ');
}

function notesOf(cable: SiteCable, core: CoreConnection): readonly string[] {
  const notes: string[] = [];
  if (core.kind === 'spare') {
    notes.push(texts.notes.spare);
  }
  if (core.kind === 'core-missing') {
    notes.push(cable.cableName === undefined ? texts.notes.noCable : texts.notes.noCore);
  }
  if (core.kind === 'conductor' || core.kind === 'protective-earth') {
    if (core.fromTerminal === undefined) {
      notes.push(texts.notes.fromCut);
    }
    if (core.toTerminal === undefined) {
      notes.push(texts.notes.toCut);
    }
    if (core.crossed) {
      notes.push(texts.notes.crossed);
    }
  }
  if (cable.closesRing) {
    notes.push(texts.notes.ring);
  }
  if (cable.band === 'mains') {
    notes.push(texts.notes.mains);
  }
  return notes;
}
