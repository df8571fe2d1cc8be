/** The job pack of a checked site: its drawings made here, its documents by the documents. */
import { packOf, type PackDrawing, type PackFile } from '../documents/pack.js';
import { compareNames } from '../model/site.js';
import { drawingOf } from './drawings.js';
import type { CheckedSite } from './workbench.js';

export type { PackFile } from '../documents/pack.js';

export interface PackOptions {
  /** What the schedules list; everything where left out. */
  readonly phase?: 'new' | 'all';
}

/** Every file of the pack with its relative path. */
export function packFilesOf(checked: CheckedSite, options: PackOptions = {}): readonly PackFile[] {
  return packOf(checked.open.site, {
    findings: checked.findings.map((one) => one.finding),
    on: checked.on,
    drawings: drawingsOf(checked),
    ...options,
  });
}

/** The topology, then the terminals of each bus and feed by name. */
function drawingsOf(checked: CheckedSite): PackDrawing[] {
  const { site } = checked.open;
  const topology = drawingOf(checked, { view: 'topology' });
  const runs = [...site.buses.keys(), ...site.feeds.keys()].sort(compareNames);
  return [
    ...(topology.svg === null ? [] : [{ name: 'topology', svg: topology.svg }]),
    ...runs.flatMap((of) => {
      const { svg } = drawingOf(checked, { view: 'terminals', of });
      return svg === null ? [] : [{ name: `terminals-${of}`, svg }];
    }),
  ];
}
