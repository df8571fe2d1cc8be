/** Faults, looks and what is seen, as a person on site would be told. */
import type { Fault, LookAt, Seeing } from './diagnosis.js';
import { formatNumber } from '../model/quantity.js';

/** Where a fault is and what is wrong there. `ends` names the two ends of its cable. */
export function faultText(fault: Fault, ends: readonly [string, string] | undefined): string {
  const cable = ends === undefined ? '' : `between ${ends[0]} and ${ends[1]}`;
  switch (fault.kind) {
    case 'segment-cut':
      return fault.at.of === 'run'
        ? `${fault.at.run} is open ${cable}: cut, loose, or not landed`
        : `the supply cable ${cable} is open: cut, loose, or not landed`;
    case 'way-dead':
      return `way ${fault.way} gives nothing: off, tripped, or dead`;
    case 'supply-dead':
      return `${fault.outlet} gives nothing: fuse, overload, or defect`;
    case 'device-dead':
      return `${fault.device} is dead although it is fed: switched off, or defective`;
    case 'voltage-low':
      return fault.behind.of === 'outlet'
        ? `${fault.behind.outlet} gives too low a voltage`
        : `too low a voltage behind the cable of ${fault.behind.at.of === 'run' ? fault.behind.at.run : fault.behind.at.device} ${cable}: a poor joint, or a cable too thin or too long`;
    case 'terminator-missing':
      return `the terminator at ${ends?.[0] ?? fault.at.bus} is missing`;
    case 'terminator-extra':
      return `a terminator too many is switched on or fitted at ${ends?.[0] ?? fault.at.bus}`;
    case 'pair-swapped':
      return `the two cores are swapped at ${ends?.[0] ?? fault.at.bus} on ${fault.at.bus}`;
    case 'address-duplicate':
      return `${fault.one.device} and ${fault.other.device} have one address`;
    case 'address-out-of-range':
      return `${fault.at.device} has an address that is never asked on ${fault.at.device}.${fault.at.port}`;
    case 'subnet-wrong':
      return fault.host === 'laptop'
        ? `the laptop has an address or mask of another network than ${fault.network}`
        : `${ends?.[0] ?? fault.network} has an address or mask of another network than ${fault.network}`;
  }
}

/** What to look at, in one line. */
export function lookText(look: LookAt): string {
  switch (look.kind) {
    case 'units':
      return `read which units ${look.at} lists`;
    case 'ohm':
      return `measure the resistance between ${look.between} at ${look.at}`;
    case 'idle':
      return `measure the DC voltage between ${look.between} at ${look.at} while nobody talks`;
    case 'voltage':
      return `measure the voltage between ${look.between} at ${look.at}`;
    case 'page':
      return `open the page of ${look.at}: ${look.between}`;
  }
}

/** What is seen there. */
export function seeingText(seeing: Seeing): string {
  switch (seeing.kind) {
    case 'missing':
      return seeing.units.length === 0 ? 'all units' : `all but ${seeing.units.join(', ')}`;
    case 'page':
      return seeing.opens ? 'it opens' : 'it fails';
    case 'reading': {
      const { low, high, unit } = seeing;
      return high === null
        ? `${formatNumber(low, 3)} ${unit} or more: open`
        : low === high
          ? `about ${formatNumber(low, 3)} ${unit}`
          : `${formatNumber(low, 3)} to ${formatNumber(high, 3)} ${unit}`;
    }
  }
}

/** What may hurt or mislead at a look. */
export const LOOK_CAUTIONS = {
  units: 'Reading a display touches nothing. Covers stay on.',
  page: 'Opening a page touches nothing; do not change settings while looking.',
  ohm: 'Power off, locked and proved dead, also every device that feeds or biases the pair: resistance is never measured on a live line. Restore what was switched off.',
  idle: 'The device is live while this is read: mains may stand in the same box. Cover what is live, use insulated probes, and touch the pair only.',
  voltage:
    'Live work: extra-low voltage only, with mains terminals covered and insulated probes. Stop where a mains terminal cannot be covered.',
  mains:
    'Live mains: a reading for licensed people only, with a tester made for it and protective equipment. Where the law or the site forbids live work, look at the way and the indicator of the device instead.',
} as const;

/** Printed once with each diagnosis. */
export const DIAGNOSIS_CAUTION =
  'A diagnosis is computed from the text and proves nothing dead: isolate, lock and prove dead before touching a terminal. Work on mains is for licensed people; local codes and the instructions of the equipment come first. A competent person judges the result.';
