/** Typing and renaming in a real VS Code: what is offered is taken, and a new name goes through all files. */
import { expect, it } from 'vitest';
import { librarySite } from './support/library-site.js';

const site = librarySite('editing');

it('takes an offered word, which leaves nothing wrong', async () => {
  const { workbench, read } = site();
  const { page } = workbench;
  const before = await read('library', 'library.ferrule');
  const lines = before.split('\n');
  const line = lines.findIndex((one) => one.endsWith(' terminated'));
  expect(line).toBeGreaterThan(0);
  await workbench.openFile('library.ferrule');
  await workbench.replaceRestOfLine(line + 1, lines[line]!.length - 'terminated'.length + 1, '');
  await workbench.squiggles('error').first().waitFor();
  await page.keyboard.type('term');
  const offered = page.locator('.suggest-widget.visible .monaco-list-row.focused');
  await offered.filter({ hasText: 'terminated' }).first().waitFor();
  await workbench.screenshot('completion');
  await page.keyboard.press('Enter');
  await workbench.waitForNoProblems();
  await workbench.save();
  expect(await read('library', 'library.ferrule')).toBe(before);
});

it('renames equipment in the file that declares it and in the one that uses it', async () => {
  const { workbench, read } = site();
  const { page } = workbench;
  const before = await read('library', 'library.ferrule');
  const lines = before.split('\n');
  const [, name] = /^device \S+ : (\S+)/mu.exec(before)!;
  const line = lines.findIndex((one) => one.startsWith('device') && one.includes(` : ${name} `));
  const declared = async () =>
    Promise.all(
      ['units', 'controllers', 'supplies', 'network'].map((file) =>
        read('equipment', `${file}.ferrule`),
      ),
    );
  await workbench.goTo(line + 1, lines[line]!.indexOf(` : ${name!} `) + 5);
  await page.keyboard.press('F2');
  const box = page.locator('.rename-box input');
  await box.waitFor();
  await box.fill('RoofUnit-9');
  await page.keyboard.press('Enter');
  await box.waitFor({ state: 'hidden' });
  await page.locator('.view-line', { hasText: 'RoofUnit-9' }).first().waitFor();
  await workbench.waitForNoProblems();
  await workbench.runCommand('File: Save All Files');
  const renamed = (text: string) =>
    text.replaceAll(new RegExp(`(?<=(?:equipment|:) )${name}(?![\\w-])`, 'gu'), 'RoofUnit-9');
  await expect.poll(() => read('library', 'library.ferrule')).toBe(renamed(before));
  await expect.poll(async () => (await declared()).join('')).toContain('equipment RoofUnit-9 ');
  expect((await declared()).join('')).not.toContain(`equipment ${name} `);
});
