/** The example sites and what Ferrule makes of them: the texts that are committed beside each. */
import { existsSync, readFileSync, readdirSync } from 'node:fs';
import path from 'node:path';
import { inProject, root } from '../../scripts/lib/root.mjs';
import { nodeFiles } from '../../src/disk/node-files.js';
import { factsJson } from '../../src/report/facts-json.js';
import { diagnosisJson, diagnosisText } from '../../src/cli/diagnosis-text.js';
import { findingsJson } from '../../src/report/findings-json.js';
import { inReportOrder } from '../../src/report/order.js';
import { siteDiagnosis } from '../../src/workbench/diagnosis.js';
import { drawingOf, factsOf, packOf } from '../../src/workbench/outputs.js';
import { Workbench, type CheckedSite } from '../../src/workbench/workbench.js';
import { testDay } from './site.js';

/** Equipment that the sites share; no site of its own. */
const sharedFolder = 'equipment';

/** The folder of sites that are wrong on purpose. */
export const brokenFolder = 'broken';

export interface Example {
  /** Below `examples`, without the ending: `library/library`. */
  readonly name: string;
  /** The site file, from the project's folder. */
  readonly file: string;
  /** Where its goldens stand, from the project's folder. */
  readonly expected: string;
}

/** Every example site, by name. A folder with several sites keeps the goldens of each apart. */
export function examples(): readonly Example[] {
  return readdirSync(inProject('examples'), { withFileTypes: true })
    .filter((entry) => entry.isDirectory() && entry.name !== sharedFolder)
    .map((entry) => entry.name)
    .sort()
    .flatMap((folder) => {
      const files = siteFilesIn(folder);
      return files.map((file): Example => {
        const stem = path.basename(file, '.ferrule');
        const own = files.length > 1 ? `/${stem}` : '';
        return {
          name: `${folder}/${stem}`,
          file: `examples/${folder}/${file}`,
          expected: `examples/${folder}/expected${own}`,
        };
      });
    });
}

/** The files of the language in the folders of the examples, from the project's folder. */
export function exampleFiles(): readonly string[] {
  return nodeFiles({ base: root, places: ['examples'] }).list();
}

export function checkedExample({ file }: Example): CheckedSite {
  const workbench = new Workbench(nodeFiles({ base: root, places: [file] }));
  const checked = workbench.check(file, testDay);
  if (checked === undefined) {
    throw new Error(`${file} cannot be read`);
  }
  return checked;
}

/** Above this, only what a person reads from end to end is kept: every row and drawing would be many megabytes. */
const mostDevicesInFull = 200;

const keptOfLargePacks = /^(?:cover|material|order-of-work|commissioning)\.md$/u;

/**
 * Broken sites of which the drawing is kept, too: buses that end and branch as they must not, and
 * findings on devices. For the others their findings are what matters.
 */
const drawnBrokenSites: readonly string[] = ['broken/bus', 'broken/supervision-and-zones'];

/** Sites of which what was seen is explained. */
const diagnosedSites: readonly string[] = ['broken/observed-otherwise'];

export function isBroken({ name }: Example): boolean {
  return name.startsWith(`${brokenFolder}/`);
}

/** What Ferrule makes of a site: texts by path below the example's goldens. */
export function outputsOf(example: Example, checked: CheckedSite): ReadonlyMap<string, string> {
  return isBroken(example) ? outputsOfBroken(example, checked) : outputsOfRight(checked);
}

function outputsOfBroken({ name }: Example, checked: CheckedSite): ReadonlyMap<string, string> {
  const outputs = new Map([['findings.json', findingsJson(inReportOrder(checked.findings))]]);
  if (diagnosedSites.includes(name)) {
    const diagnosis = siteDiagnosis(checked.open);
    outputs.set('diagnosis.txt', diagnosisText(diagnosis));
    outputs.set('diagnosis.json', diagnosisJson(diagnosis));
  }
  if (drawnBrokenSites.includes(name)) {
    outputs.set('topology.svg', drawingOf(checked, { view: 'topology' })!.svg);
  }
  return outputs;
}

function outputsOfRight(checked: CheckedSite): ReadonlyMap<string, string> {
  const isLarge = checked.open.site.devices.size > mostDevicesInFull;
  const outputs = new Map([
    ['findings.json', findingsJson(inReportOrder(checked.findings))],
    ['topology.svg', drawingOf(checked, { view: 'topology' })!.svg],
  ]);
  if (!isLarge) {
    outputs.set('facts.json', factsJson(factsOf(checked.open)));
  }
  for (const file of packOf(checked)) {
    if (!isLarge || keptOfLargePacks.test(file.path)) {
      outputs.set(`pack/${file.path}`, file.text);
    }
  }
  return outputs;
}

/** The committed texts of an example by path below its goldens. */
export function goldensOf({ expected }: Example): ReadonlyMap<string, string> {
  const folder = inProject(expected);
  if (!existsSync(folder)) {
    return new Map();
  }
  return new Map(
    readdirSync(folder, { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile())
      .map((entry) => path.join(entry.parentPath, entry.name))
      .map((file): [string, string] => [
        path.relative(folder, file).split(path.sep).join('/'),
        readFileSync(file, 'utf8'),
      ])
      .sort(([one], [other]) => (one < other ? -1 : 1)),
  );
}

function siteFilesIn(folder: string): string[] {
  return readdirSync(inProject('examples', folder))
    .filter((name) => name.endsWith('.ferrule'))
    .filter((name) =>
      /^site[ \t]/mu.test(readFileSync(inProject('examples', folder, name), 'utf8')),
    )
    .sort();
}
