/**
 * A workbench that lived through any edits says what a new one says.
 *
 * Random edits go to one long-lived workbench; after each, a new one opens the same texts, and the two
 * must agree on every finding, fact, name and outline.
 */
import { readFileSync, readdirSync } from 'node:fs';
import { afterAll, describe, expect, it } from 'vitest';
import { inProject } from '../../scripts/lib/root.mjs';
import { memoryFiles } from '../../src/workbench/files.js';
import { Workbench } from '../../src/workbench/workbench.js';
import { exampleFiles } from '../support/examples.js';
import { hotel, nested } from '../support/hotel.js';
import { largeSite } from '../support/large-site.js';
import { randomFrom, seedOfThisRun } from '../support/random.js';
import { EditedFolder } from '../support/random-edits.js';
import { testDay } from '../support/site.js';
import { wholeAnswer } from '../support/whole-answer.js';

const seed = seedOfThisRun();
/** Multiplies the number of edits, for longer hunts: FERRULE_EDITS=20 makes 100,000. */
const times = Number(process.env['FERRULE_EDITS'] ?? 1);
let edits = 0;
/** Milliseconds for one scenario on a busy machine. */
const longest = 300_000 * times;

interface Scenario {
  readonly name: string;
  readonly root: string;
  readonly files: Readonly<Record<string, string>>;
  readonly edits: number;
}

const common = readFileSync(inProject('src/rules/common.ferrule'), 'utf8');

const scenarios: readonly Scenario[] = [
  { name: 'the library', root: 'library/library.ferrule', files: example('library'), edits: 400 },
  { name: 'the clinic', root: 'clinic/clinic.ferrule', files: example('clinic'), edits: 160 },
  {
    name: 'a hotel of instances',
    root: 'hotel.ferrule',
    files: { 'hotel.ferrule': hotel(12) },
    edits: 250,
  },
  {
    name: 'nested instances and variants',
    root: 'nested.ferrule',
    files: { 'nested.ferrule': nested },
    edits: 250,
  },
  { name: 'groups in one file', ...largeSite({ devices: 130 }), edits: 200 },
  {
    name: 'groups with relays in files',
    ...largeSite({ devices: 220, groupsInFile: 1 }),
    edits: 120,
  },
  ...rulePages().map((page): Scenario => ({
    name: page.name,
    root: 'page.ferrule',
    files: { 'page.ferrule': page.text, 'common.ferrule': common },
    edits: 55,
  })),
];

describe('edits', () => {
  it.each(scenarios)(
    'in $name give what opening the text anew gives',
    (scenario) => {
      const random = randomFrom(seed ^ hash(scenario.name));
      const folder = new EditedFolder({ ...scenario.files }, random);
      const lived = new Workbench(memoryFiles(folder.stored));
      const day = () => (random.integer(0, 30) === 0 ? '2027-07-01' : testDay);
      for (let made = 0; made < scenario.edits * times; made++) {
        const done = folder.next();
        for (const edit of done) {
          if (edit.kind === 'text') {
            lived.setText(edit.path, edit.text);
          } else if (edit.kind === 'close') {
            lived.clearText(edit.path);
          } else {
            lived.fileChanged(edit.path);
          }
        }
        // Sometimes several edits come before anybody looks.
        if (random.integer(0, 9) === 0) {
          continue;
        }
        const on = day();
        const depth = made % 10 === 0 ? 'all' : 'findings and names';
        const fresh = new Workbench(memoryFiles(folder.texts()));
        const wanted = wholeAnswer(fresh, scenario.root, on, depth);
        const found = wholeAnswer(lived, scenario.root, on, depth);
        if (JSON.stringify(found) !== JSON.stringify(wanted)) {
          const where = `seed ${seed}, ${scenario.name}, edit ${made}: ${JSON.stringify(done).slice(0, 300)}`;
          expect(found, where).toEqual(wanted);
        }
      }
      edits += scenario.edits * times;
    },
    longest,
  );

  afterAll(() => {
    console.log(`${edits} random edits, seed ${seed}`);
  });

  it('were thousands', () => {
    expect(scenarios.reduce((sum, one) => sum + one.edits, 0)).toBeGreaterThan(5000);
  });
});

/** The files of an example and the equipment that it shares, by their path below `examples`. */
function example(folder: string): Readonly<Record<string, string>> {
  return Object.fromEntries(
    exampleFiles()
      .filter(
        (file) => file.startsWith(`examples/${folder}/`) || file.startsWith('examples/equipment/'),
      )
      .map((file) => [file.slice('examples/'.length), readFileSync(inProject(file), 'utf8')]),
  );
}

/** The wrong example of each rule's page: together they raise every finding that there is. */
function rulePages(): readonly { readonly name: string; readonly text: string }[] {
  return readdirSync(inProject('src/rules'))
    .filter((file) => file.endsWith('.md'))
    .flatMap((file) => {
      const page = readFileSync(inProject(`src/rules/${file}`), 'utf8');
      const text = /## Wrong[\s\S]*?```ferrule\n([\s\S]*?)```/u.exec(page)?.[1];
      return text === undefined ? [] : [{ name: file.slice(0, -'.md'.length), text }];
    });
}

function hash(text: string): number {
  return [...text].reduce((sum, letter) => Math.imul(sum, 31) + letter.codePointAt(0)!, 7) >>> 0;
}
