/** What is fitted at terminals beside the wires: terminators, screen bonds, insulating covers. */
import { compareNames, memberKey, resolveInlet, resolvePort } from '../../model/site.js';
import type { Site } from '../../model/site.js';
import type { Bus, Feed } from '../../model/wiring.js';

export interface Fitting {
  readonly kind: 'terminator' | 'built-in-terminator' | 'bond' | 'cover';
  /** The bus or feed, or for an inlet line the way or outlet. */
  readonly circuit: string;
  readonly device: string;
  readonly member: string;
  readonly terminals: readonly string[];
  /** Of a terminator, where stated. */
  readonly ohm: number | undefined;
  /** There before the work. */
  readonly existing: boolean;
}

/** Every fitting of the site: along the buses, then the feeds, then the inlet lines. */
export function fittingsOf(site: Site): readonly Fitting[] {
  const runs = [
    ...[...site.buses.values()].sort((one, other) => compareNames(one.name, other.name)),
    ...[...site.feeds.values()].sort((one, other) => compareNames(one.name, other.name)),
  ];
  const lines = [...site.devices.values()]
    .sort((one, other) => compareNames(one.name, other.name))
    .flatMap((device) =>
      device.inletLines
        .filter((line) => line.covered)
        .map((line): Fitting => ({
          kind: 'cover',
          circuit: memberKey(line.from.owner, line.from.member),
          device: device.name,
          member: line.inlet,
          terminals: resolveInlet(site, device.name, line.inlet)?.inlet.terminals ?? [],
          ohm: undefined,
          existing: line.existing || device.existing,
        })),
    );
  return [...runs.flatMap((run) => fittingsOfRun(site, run)), ...lines];
}

function fittingsOfRun(site: Site, run: Bus | Feed): readonly Fitting[] {
  return run.landings.flatMap((landing) => {
    const port =
      run.kind === 'bus' ? resolvePort(site, landing.device, landing.member)?.port : undefined;
    const inlet =
      run.kind === 'feed' ? resolveInlet(site, landing.device, landing.member)?.inlet : undefined;
    const base = {
      circuit: run.name,
      device: landing.device,
      member: landing.member,
      terminals: port?.terminals ?? inlet?.terminals ?? [],
      ohm: undefined,
      existing: run.existing || landing.existing,
    };
    const fittings: Fitting[] = [];
    if (landing.terminated) {
      fittings.push({ ...base, ...terminatorOf(site, run, port?.terminatorOhm) });
    }
    if (landing.bonded) {
      fittings.push({ ...base, kind: 'bond' });
    }
    if (landing.covered) {
      fittings.push({ ...base, kind: 'cover' });
    }
    return fittings;
  });
}

function terminatorOf(
  site: Site,
  run: Bus | Feed,
  builtInOhm: number | undefined,
): Pick<Fitting, 'kind' | 'ohm'> {
  if (builtInOhm !== undefined) {
    return { kind: 'built-in-terminator', ohm: builtInOhm };
  }
  const asked = run.kind === 'bus' ? site.busTypes.get(run.busType)?.terminate?.ohm : undefined;
  return { kind: 'terminator', ohm: asked };
}
