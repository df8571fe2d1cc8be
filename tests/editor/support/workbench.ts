import { mkdir } from 'node:fs/promises';
import path from 'node:path';
import { chromium, type Browser, type Frame, type Locator, type Page } from 'playwright-core';
import { inProject } from '../../../scripts/lib/root.mjs';

const patienceMs = 30_000;

/** VS Code's window as a person sees it: keys, menus, squiggles, views. */
export class Workbench {
  private constructor(
    private readonly browser: Browser,
    readonly page: Page,
  ) {}

  /** Opens a folder of this computer in a VS Code server's window. */
  static async open(port: number, folder: string): Promise<Workbench> {
    const browser = await chromium.launch({
      executablePath: process.env['CHROMIUM'] ?? '/usr/bin/chromium',
      args: [
        ...['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run'],
        ...['--disable-background-networking', '--disable-component-update', '--disable-sync'],
      ],
    });
    const page = await browser.newPage({ viewport: { width: 1600, height: 1000 } });
    page.setDefaultTimeout(patienceMs);
    const payload = JSON.stringify([['skipWelcome', 'true']]);
    const query = new URLSearchParams({ folder, payload });
    await page.goto(`http://127.0.0.1:${port}/?${query}`);
    await page.locator('.monaco-workbench').waitFor();
    await page.locator('.explorer-folders-view .monaco-list-row').first().waitFor();
    return new Workbench(browser, page);
  }

  async close(): Promise<void> {
    await this.browser.close();
  }

  /** Keeps a picture of the window in out/editor, for people. */
  async screenshot(name: string): Promise<void> {
    const folder = inProject('out', 'editor');
    await mkdir(folder, { recursive: true });
    await this.page.screenshot({ path: path.join(folder, `${name}.png`) });
  }

  /** Opens a file of the folder by its name and waits for its text. */
  async openFile(name: string): Promise<void> {
    await this.page.keyboard.press('Control+P');
    await this.quickInput(name);
    // The list shows what was open last until it has looked for the name, and Enter takes its focused row.
    await this.page
      .locator(`.quick-input-list .monaco-list-row.focused[aria-label^="${name}"]`)
      .waitFor();
    await this.page.keyboard.press('Enter');
    await this.page.locator('.tab.active', { hasText: name }).waitFor();
    await this.editor().locator('.view-line').first().waitFor();
  }

  async runCommand(title: string): Promise<void> {
    await this.page.keyboard.press('F1');
    await this.quickInput(`>${title}`);
    await this.page
      .locator(`.quick-input-list .monaco-list-row.focused[aria-label*="${title}"]`)
      .waitFor();
    await this.page.keyboard.press('Enter');
  }

  /** Chooses the entry with a title in the list that a command has opened. */
  async choose(title: string): Promise<void> {
    await this.quickInput(title);
    await this.page
      .locator(`.quick-input-list .monaco-list-row.focused[aria-label*="${title}"]`)
      .waitFor();
    await this.page.keyboard.press('Enter');
  }

  /** Puts the cursor into the open file; lines and columns count from 1. */
  async goTo(line: number, column: number): Promise<void> {
    await this.page.keyboard.press('Control+G');
    await this.quickInput(`:${line}:${column}`);
    await this.page.keyboard.press('Enter');
    await this.page.locator('.statusbar-item', { hasText: `Ln ${line}, Col ${column}` }).waitFor();
  }

  /** Replaces a line of the open file from a column to its end, as if pasted. */
  async replaceRestOfLine(line: number, column: number, text: string): Promise<void> {
    await this.goTo(line, column);
    await this.page.keyboard.press('Shift+End');
    await (text === '' ? this.page.keyboard.press('Delete') : this.page.keyboard.insertText(text));
    await this.page.keyboard.press('Escape');
  }

  /** The squiggly lines of one severity that are in sight. */
  squiggles(severity: 'error' | 'warning' | 'hint'): Locator {
    return this.editor().locator(`.squiggly-${severity}`);
  }

  /** The messages in the Problems view. */
  async problems(): Promise<Locator> {
    const view = this.page.locator('.markers-panel');
    if (!(await view.isVisible())) {
      await this.page.keyboard.press('Control+Shift+M');
      await view.waitFor();
      await this.focusEditor();
    }
    return view.locator('.monaco-list-row .marker-message-line, .monaco-list-row .marker-row');
  }

  /** Waits until the Problems view says that it has nothing to say. */
  async waitForNoProblems(): Promise<void> {
    await this.problems();
    await this.page
      .locator('.markers-panel .message-box-container', { hasText: 'No problems' })
      .waitFor();
  }

  /** Applies the quick-fix with this title at the cursor. */
  async quickFix(title: string): Promise<void> {
    await this.focusEditor();
    await this.page.keyboard.press('Control+.');
    const menu = this.page.locator('.action-widget');
    await menu.locator('.monaco-list-row', { hasText: title }).first().waitFor();
    const chosen = menu.locator('.monaco-list-row.focused', { hasText: title });
    const entries = await menu.locator('.monaco-list-row').count();
    // By keys, because the menu shields itself from the mouse until the mouse moves over it.
    for (let step = 0; step < entries && !(await chosen.isVisible()); step += 1) {
      await this.page.keyboard.press('ArrowDown');
    }
    await chosen.waitFor();
    await this.page.keyboard.press('Enter');
    await menu.waitFor({ state: 'hidden' });
  }

  async save(): Promise<void> {
    await this.focusEditor();
    await this.page.keyboard.press('Control+S');
    await this.page.locator('.tab.active.dirty').waitFor({ state: 'detached' });
  }

  /** The document that a webview's own code wrote, inside its two frames. */
  async webview(): Promise<Frame> {
    const outer = await frameOf(this.page.locator('iframe.webview.ready').first());
    return frameOf(outer.locator('iframe#active-frame'));
  }

  private async focusEditor(): Promise<void> {
    await this.editor().locator('.inputarea, .native-edit-context').first().focus();
  }

  private editor(): Locator {
    return this.page.locator('.editor-instance .monaco-editor').first();
  }

  private async quickInput(text: string): Promise<void> {
    const box = this.page.locator('.quick-input-widget input');
    await box.waitFor();
    await box.fill(text);
  }
}

async function frameOf(element: Locator): Promise<Frame> {
  await element.waitFor({ state: 'attached' });
  const frame = await (await element.elementHandle())?.contentFrame();
  if (frame === null || frame === undefined) {
    throw new Error('The webview has no document yet.');
  }
  return frame;
}
