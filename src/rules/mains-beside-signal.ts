import { bandOf } from '../analysis/cabling/cables.js';
import { nominalOfPoint } from '../analysis/power/demand.js';
import type { Fix } from '../model/finding.js';
import { part, placeOf } from '../model/origin.js';
import { resolvePowerPoint } from '../model/site.js';
import type { Site } from '../model/site.js';
import type { PathName } from '../model/wiring.js';
import { defineRule } from './rule.js';
import { listed } from './support/bus-wording.js';
import { nominalText } from './support/power-wording.js';

/** A containment without divider that carries mains beside buses or extra-low voltage. */
export const mainsBesideSignal = defineRule({
  name: 'mains-beside-signal',
  severity: 'error',
  of: 'containment',
  acceptable: false,
  *check(site, containment) {
    if (containment.divided) {
      return;
    }
    const carried = containment.carries.flatMap(
      (path, index) => circuitOf(site, path, index) ?? [],
    );
    const mains = carried.find((one) => one.band === 'mains');
    const signal = carried.find((one) => one.band === 'signal');
    if (mains === undefined || signal === undefined) {
      return;
    }
    const [first, straw] = mains.index < signal.index ? [mains, signal] : [signal, mains];
    yield {
      subject: containment.name,
      at: placeOf(containment.name, part('carries', straw.index)),
      what: `${containment.name} has no divider and carries ${mains.name} (${mains.text}) beside ${signal.name} (${signal.text}).`,
      why: 'A damaged cable puts mains on control wiring that people touch, and mains disturbs the signal.',
      remedy: 'Use a divided containment, or another one for the mains.',
      related: [
        {
          at: placeOf(containment.name, part('carries', first.index)),
          message: `It carries ${first.name} already.`,
        },
      ],
    };
  },
  fixes(site, finding) {
    const containment = site.containments.get(finding.subject);
    if (containment === undefined) {
      return [];
    }
    const carried = containment.carries.flatMap(
      (path, index) => circuitOf(site, path, index) ?? [],
    );
    const takeOut = (band: CarriedCircuit['band']): Fix => {
      const taken = carried.filter((one) => one.band === band);
      return {
        title: `Take ${listed(taken.map(({ name }) => name))} out of ${containment.name}`,
        kind: 'wiring',
        edits: taken.map(({ index }) => ({
          kind: 'remove-statement',
          at: placeOf(containment.name, part('carries', index)),
        })),
      };
    };
    return [
      {
        title: `Use a divided containment for ${containment.name}`,
        kind: 'wiring',
        edits: [{ kind: 'divide-containment', containment: containment.name }],
      },
      takeOut('mains'),
      takeOut('signal'),
    ];
  },
});

interface CarriedCircuit {
  readonly index: number;
  readonly name: string;
  readonly band: 'mains' | 'signal';
  readonly text: string;
}

/** A bus, feed or way by its voltage; undefined where that, or the name, is not known. */
function circuitOf(site: Site, path: PathName, index: number): CarriedCircuit | undefined {
  const name = path.join('.');
  if (site.buses.has(name)) {
    return { index, name, band: 'signal', text: 'a bus' };
  }
  const from = site.feeds.get(name)?.from ?? {
    owner: path.slice(0, -1).join('.'),
    member: path.at(-1) ?? '',
  };
  const point = resolvePowerPoint(site, from);
  const nominal = point && nominalOfPoint(point);
  const band = bandOf(nominal?.voltage);
  return nominal === undefined || band === 'unknown'
    ? undefined
    : {
        index,
        name,
        band: band === 'mains' ? 'mains' : 'signal',
        text: nominalText(nominal),
      };
}
