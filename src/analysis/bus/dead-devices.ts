/** What a device that does not answer costs a bus that is polled: the controller waits, and asks again. */
import type { Site } from '../../model/site.js';
import type { Bus } from '../../model/wiring.js';
import { deadPollTimeS } from '../electrical/timing.js';
import { memoised } from '../memo.js';
import { needs } from './needs.js';
import type { UnknownFigure } from './figure.js';
import { scanTimeOf } from './scan.js';
import type { ScanShare } from './scan.js';
import { talkDomainOf } from './segment.js';

/** Rounds in s: all devices answer, the costliest one does not, the two costliest do not. */
export interface DeadRounds {
  readonly known: true;
  readonly aliveS: number;
  readonly oneDeadS: number;
  /** Undefined where there is only one device. */
  readonly twoDeadS: number | undefined;
  /** The devices that cost most, costliest first. */
  readonly costliest: readonly ScanShare[];
  readonly timeoutS: number;
  readonly retries: number;
}

/**
 * Rounds with devices that do not answer; the same for all buses that hear each other. Needs a
 * controller that states `timeout` and `retries`: of several the most patient one counts.
 */
export const deadRoundsOf: (site: Site, bus: Bus) => DeadRounds | UnknownFigure = memoised(
  (site, bus) => {
    const domain = talkDomainOf(site, bus);
    if (domain.lead !== bus) {
      return deadRoundsOf(site, domain.lead);
    }
    const scan = scanTimeOf(site, bus);
    if (!scan.known) {
      return scan;
    }
    const busType = domain.segments[0]!.busType;
    const rateBaud = busType?.signal?.rateBaud;
    if (busType?.scan?.by === 'token' || rateBaud === undefined) {
      return { known: false, needs: needs.polled(bus.busType) };
    }
    const controllers = domain.segments
      .flatMap((segment) => segment.ports)
      .filter(({ resolved }) => resolved.port.talksAs === 'controller');
    const [first] = controllers;
    if (first === undefined) {
      return { known: false, needs: needs.talker(bus.name, 'controller') };
    }
    const patience = controllers.flatMap(({ resolved: { port } }) =>
      port.timeoutS === undefined || port.retries === undefined
        ? []
        : [{ timeoutS: port.timeoutS, retries: port.retries }],
    );
    const most = patience.sort((one, other) => waitS(other) - waitS(one))[0];
    if (most === undefined) {
      const { equipment, port } = first.resolved;
      return { known: false, needs: needs.patience(equipment.name, port.name) };
    }
    const extraS = ({ port, durationS }: ScanShare): number =>
      deadPollTimeS(rateBaud, { requestBytes: port.resolved.port.pollBytes! }, most) - durationS;
    const costliest = [...scan.shares].sort((one, other) => extraS(other) - extraS(one));
    const [one, two] = costliest;
    const oneDeadS = scan.value + extraS(one!);
    return {
      known: true,
      aliveS: scan.value,
      oneDeadS,
      twoDeadS: two === undefined ? undefined : oneDeadS + extraS(two),
      costliest,
      ...most,
    };
  },
);

function waitS({
  timeoutS,
  retries,
}: {
  readonly timeoutS: number;
  readonly retries: number;
}): number {
  return timeoutS * (1 + retries);
}
