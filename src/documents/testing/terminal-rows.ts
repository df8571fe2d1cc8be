/** Every terminal that holds a conductor, with what lands on it. */
import { cablesOfSite, endName } from '../../analysis/cabling/cables.js';
import type { CableEnd, SiteCable } from '../../analysis/cabling/cables.js';
import { coresOf } from '../../analysis/cabling/cores.js';
import { resolveInlet, resolvePort, resolvePowerPoint } from '../../model/site.js';
import type { Site } from '../../model/site.js';
import { groupBy } from '../group-by.js';
import { fittingsOf } from '../schedule/fittings.js';

/** A core on a terminal. */
export interface LandedCore {
  readonly cable: SiteCable;
  readonly core: string;
  readonly wireNumber: string;
  /** The other end with its terminal. */
  readonly other: string;
}

export interface TerminalRow {
  readonly end: CableEnd;
  readonly terminal: string;
  readonly isScreen: boolean;
  readonly cores: readonly LandedCore[];
  /** Terminators to be put on this terminal beside the cores. */
  readonly fitted: number;
  /** Conductors that the terminal takes, where stated. */
  readonly takes: number | undefined;
}

/** The used terminals by device or board, in the order of the strips' cables. */
export function terminalRows(site: Site): ReadonlyMap<string, readonly TerminalRow[]> {
  const landed = cablesOfSite(site).flatMap((cable) =>
    coresOf(site, cable).flatMap((core) => {
      const isScreen = core.kind === 'screen';
      const at = (end: CableEnd, terminal: string | undefined, other: string) =>
        terminal === undefined
          ? []
          : [
              {
                end,
                terminal,
                isScreen,
                core: { cable, core: core.core, wireNumber: core.wireNumber, other },
              },
            ];
      return [
        ...at(cable.from, core.fromTerminal, otherText(cable.to, core.toTerminal)),
        ...at(cable.to, core.toTerminal, otherText(cable.from, core.fromTerminal)),
      ];
    }),
  );
  const terminators = fittingsOf(site).filter(({ kind }) => kind === 'terminator');
  const rows = [
    ...groupBy(landed, ({ end, terminal }) => JSON.stringify([end.owner, end.member, terminal])),
  ].map(([, cores]): TerminalRow => {
    const { end, terminal, isScreen } = cores[0]!;
    return {
      end,
      terminal,
      isScreen,
      cores: cores.map(({ core }) => core),
      fitted: terminators.filter(
        (one) =>
          one.device === end.owner && one.member === end.member && one.terminals.includes(terminal),
      ).length,
      takes: capacityOf(site, end),
    };
  });
  return groupBy(rows, ({ end }) => end.owner);
}

function otherText(end: CableEnd, terminal: string | undefined): string {
  return terminal === undefined ? endName(end) : `${endName(end)}:${terminal}`;
}

function capacityOf(site: Site, end: CableEnd): number | undefined {
  switch (end.kind) {
    case 'port':
      return resolvePort(site, end.owner, end.member)?.port.capacity;
    case 'inlet':
      return resolveInlet(site, end.owner, end.member)?.inlet.capacity;
    case 'outlet': {
      const point = resolvePowerPoint(site, end);
      return point?.kind === 'outlet' ? point.outlet.capacity : undefined;
    }
    case 'way':
    case 'board':
    case 'lan':
      return undefined;
  }
}
