/** Which files are the site's own: what stands unused in others is no matter of this site. */
import { describe, expect, it } from 'vitest';
import { memoryFiles } from '../../src/workbench/files.js';
import { Workbench } from '../../src/workbench/workbench.js';
import { testDay } from '../support/site.js';

const shared = 'cable Left "2-core 1 mm2" {\n  cores 2 x 1 mm2 class 5\n}\n';

function rulesOf(root: string, library: string, use: string): string[] {
  const files = { [root]: `use "${use}"\n\nsite Small "Small site"\n`, [library]: shared };
  const checked = new Workbench(memoryFiles(files)).check(root, testDay);
  return checked!.findings.map(({ finding }) => finding.rule);
}

describe('a template that nothing uses', () => {
  it.each([
    ['beside the site', 'site.ferrule', 'cables.ferrule', './cables.ferrule'],
    [
      'below the site',
      'house/site.ferrule',
      'house/parts/cables.ferrule',
      './parts/cables.ferrule',
    ],
  ])('counts %s', (_where, root, library, use) => {
    expect(rulesOf(root, library, use)).toContain('template-unused');
  });

  it('counts in the file of the site', () => {
    const files = { 'site.ferrule': `site Small "Small site"\n\n${shared}` };
    const checked = new Workbench(memoryFiles(files)).check('site.ferrule', testDay);
    expect(checked!.findings.map(({ finding }) => finding.rule)).toEqual(['template-unused']);
  });
});

describe('the equipment of another folder', () => {
  const used = `${shared}\ncable Right "2-core 1 mm2" {\n  cores 2 x 1 mm2 class 5\n}\n`;

  it.each([
    ['seen from the folder of the site', 'site.ferrule', '../cables.ferrule', '../cables.ferrule'],
    ['seen from above', 'house/site.ferrule', 'cables.ferrule', '../cables.ferrule'],
    ['further up', '../site.ferrule', '../../cables.ferrule', '../cables.ferrule'],
  ])('may hold more than the site needs, %s', (_how, root, library, use) => {
    const files = {
      [root]: `use "${use}"\n\nsite Small "Small site"\n\n${oneBus}`,
      [library]: used,
    };
    const checked = new Workbench(memoryFiles(files)).check(root, testDay);
    expect(checked!.findings.map(({ finding }) => finding.rule)).not.toContain('template-unused');
  });
});

/** Uses the cable `Right` and leaves `Left` unused. */
const oneBus = `board DB-1 {
  way W1 230 VAC 6 A
}

equipment Lamp "Lamp" {
  role other
  inlet mains 230 VAC 0.1 A terminals L, N, PE
}

device L-1 : Lamp { inlet mains from DB-1.W1 using Right 3 m }
`;
