import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { type BarePage, startBrowser } from './bare-page.js';
import { hostilePicture, pictureMessage } from './pictures.js';

let browser: Awaited<ReturnType<typeof startBrowser>>;
let bare: BarePage;

beforeAll(async () => {
  browser = await startBrowser();
});

afterAll(() => browser.stop());

beforeEach(async () => {
  bare = await browser.open();
});

afterEach(async () => {
  const { complaints } = bare;
  await bare.close();
  expect(complaints).toEqual([]);
});

const device = (name: string) => `[data-place="device:${name}"]`;

describe('a picture', () => {
  it('is shown whole, with its own style, and reported', async () => {
    await bare.page.getByText('Drawing…').waitFor();
    await bare.send(pictureMessage(1));
    expect(await bare.message('shown')).toEqual({ type: 'shown', revision: 1 });
    await bare.page.getByText('revision 1').waitFor();
    expect(await bare.page.getByText('Drawing…').isVisible()).toBe(false);
    const [first, last] = [await bare.boxOf(device('A-1')), await bare.boxOf(device('A-3'))];
    expect(first.x).toBeGreaterThan(0);
    expect(last.x + last.width).toBeLessThan(800);
    const stroke = await bare.page
      .locator('.wire')
      .first()
      .evaluate((wire) => getComputedStyle(wire).stroke);
    expect(stroke).toBe('rgb(0, 0, 255)');
  });

  it('follows the theme of the page', async () => {
    await bare.send(pictureMessage(1));
    const stroke = () =>
      bare.page
        .locator('.wire')
        .first()
        .evaluate((wire) => getComputedStyle(wire).stroke);
    await bare.page.evaluate(() => document.body.classList.add('vscode-dark'));
    await expect.poll(stroke).toBe('rgb(0, 255, 255)');
    await bare.send(pictureMessage(2));
    expect(await stroke()).toBe('rgb(0, 255, 255)');
    await bare.page.evaluate(() => document.body.classList.remove('vscode-dark'));
    await expect.poll(stroke).toBe('rgb(0, 0, 255)');
  });

  it('replaces the one before, and a late one is ignored', async () => {
    await bare.send(pictureMessage(1));
    await bare.send(pictureMessage(3));
    await bare.send(pictureMessage(2));
    await bare.page.getByText('revision 3').waitFor();
    expect(await bare.page.locator('svg').count()).toBe(1);
    expect(await bare.page.getByText('revision 2').count()).toBe(0);
  });

  it('brings no script, handler, link or load into the page', async () => {
    bare.requests.length = 0;
    await bare.send(pictureMessage(1, { svg: hostilePicture }));
    await bare.message('shown');
    await bare.page.locator(device('A-1')).click();
    expect(await bare.message('open')).toEqual({ type: 'open', place: 'device:A-1' });
    expect(await bare.page.evaluate(() => 'pwned' in window)).toBe(false);
    expect(bare.requests).toEqual([]);
    const names = await bare.page
      .locator('svg')
      .evaluate((svg) => [...svg.querySelectorAll('*')].map((each) => each.localName));
    expect(names).toEqual(['use', 'use', 'rect', 'text']);
    const attributes = await bare.page
      .locator(device('A-1'))
      .evaluate((rect) => rect.getAttributeNames());
    expect(attributes).not.toContain('onclick');
    expect(attributes).not.toContain('style');
    expect(attributes).not.toContain('filter');
    await bare.page.getByText('<script>window.pwned = 7</script>').waitFor();
    // The parser has complained of the handlers and styles that the page's policy forbids.
    bare.complaints.length = 0;
  });

  it('that is none leaves the old one under a banner', async () => {
    await bare.send(pictureMessage(1));
    await bare.send(pictureMessage(2, { svg: '<p>not a picture</p>' }));
    await bare.page.getByRole('status').filter({ hasText: 'could not be read' }).waitFor();
    await bare.page.getByText('revision 1').waitFor();
  });
});

describe('while the text has errors', () => {
  it('the last good picture stays under a banner until there is a new one', async () => {
    await bare.send(pictureMessage(1));
    await bare.send(pictureMessage(2, { svg: null, problem: 'Line 4 is <i>not</i> read.' }));
    const banner = bare.page.getByRole('status');
    await banner.filter({ hasText: 'Line 4 is <i>not</i> read.' }).waitFor();
    await bare.page.getByText('revision 1').waitFor();
    expect(await bare.page.locator('.stage.is-stale').count()).toBe(1);
    await bare.send(pictureMessage(3));
    await bare.page.getByText('revision 3').waitFor();
    expect(await banner.isVisible()).toBe(false);
    expect(await bare.page.locator('.stage.is-stale').count()).toBe(0);
  });

  it('a picture with gaps is shown under a banner', async () => {
    await bare.send(pictureMessage(1, { problem: 'Two lines are left out.' }));
    await bare.page.getByRole('status').filter({ hasText: 'Two lines are left out.' }).waitFor();
    await bare.page.getByText('revision 1').waitFor();
  });

  it('and no picture yet, the page says why', async () => {
    await bare.send(pictureMessage(1, { svg: null, problem: 'The file has no site.' }));
    await bare.page.getByText('The file has no site.').waitFor();
  });
});

describe('zoom and place', () => {
  it('follow the wheel at the pointer', async () => {
    await bare.send(pictureMessage(1));
    const before = await bare.boxOf(device('A-2'));
    // A browser tells a wheel's place in whole pixels.
    const at = { x: Math.round(before.x + 5), y: Math.round(before.y + 5) };
    await bare.page.mouse.move(at.x, at.y);
    await bare.page.mouse.wheel(0, -400);
    await expect
      .poll(async () => (await bare.boxOf(device('A-2'))).width)
      .toBeGreaterThan(before.width * 1.5);
    const after = await bare.boxOf(device('A-2'));
    const factor = after.width / before.width;
    expect(at.x - after.x).toBeCloseTo((at.x - before.x) * factor, 0);
    expect(at.y - after.y).toBeCloseTo((at.y - before.y) * factor, 0);
  });

  it('follow the buttons and the keys', async () => {
    await bare.send(pictureMessage(1));
    const width = async () => (await bare.boxOf(device('A-1'))).width;
    const fit = await width();
    await bare.page.getByRole('button', { name: 'Zoom in' }).click();
    expect(await width()).toBeCloseTo(fit * 1.25, 0);
    await bare.page.getByRole('button', { name: 'Zoom out' }).click();
    expect(await width()).toBeCloseTo(fit, 0);
    await bare.page.locator('.stage').focus();
    await bare.page.keyboard.press('1');
    expect(await width()).toBeCloseTo(100, -0.5);
    await bare.page.keyboard.press('+');
    expect(await width()).toBeCloseTo(125, -0.5);
    await bare.page.keyboard.press('0');
    expect(await width()).toBeCloseTo(fit, 0);
  });

  it('stay over fifty new pictures, and a drag is no click', async () => {
    await bare.send(pictureMessage(1));
    await bare.page.locator('.stage').focus();
    for (const key of ['+', '+', '+']) {
      await bare.page.keyboard.press(key);
    }
    const box = await bare.boxOf(device('A-2'));
    await bare.page.mouse.move(box.x + 10, box.y + 10);
    await bare.page.mouse.down();
    await bare.page.mouse.move(box.x + 110, box.y - 40, { steps: 5 });
    await bare.page.mouse.up();
    const moved = await bare.boxOf(device('A-2'));
    expect(moved.x).toBeCloseTo(box.x + 100, 0);
    expect(moved.y).toBeCloseTo(box.y - 50, 0);
    expect((await bare.messages()).filter(({ type }) => type === 'open')).toEqual([]);
    for (let revision = 2; revision <= 51; revision += 1) {
      await bare.send(pictureMessage(revision));
    }
    await bare.page.getByText('revision 51').waitFor();
    expect(await bare.boxOf(device('A-2'))).toEqual(moved);
  });

  it('come back after the page was loaded anew, one for each picture', async () => {
    await bare.send(pictureMessage(1));
    const fit = await bare.boxOf(device('A-1'));
    await bare.page.getByRole('button', { name: 'Zoom in' }).click();
    const zoomed = await bare.boxOf(device('A-1'));
    const state = await bare.state();
    expect(state.target).toEqual({ view: 'topology', uri: 'file:///site/mill.ferrule' });
    await bare.page.reload();
    await bare.message('ready');
    await bare.send(pictureMessage(1));
    expect(await bare.boxOf(device('A-1'))).toEqual(zoomed);
    await bare.send(pictureMessage(2, { key: 'topology other' }));
    expect(await bare.boxOf(device('A-1'))).toEqual(fit);
    await bare.send(pictureMessage(3));
    expect(await bare.boxOf(device('A-1'))).toEqual(zoomed);
  });
});

describe('the pointer', () => {
  it('opens what was clicked', async () => {
    await bare.send(pictureMessage(1));
    await bare.page.locator(device('A-2')).click();
    expect(await bare.message('open')).toEqual({ type: 'open', place: 'device:A-2' });
  });

  it('opens nothing on empty ground', async () => {
    await bare.send(pictureMessage(1));
    await bare.page.locator('.stage').click({ position: { x: 400, y: 5 } });
    expect((await bare.messages()).map(({ type }) => type)).toEqual(['shown']);
  });
});

describe('what the cursor is in', () => {
  it('is framed, over new pictures too, until the cursor leaves it', async () => {
    await bare.send(pictureMessage(1));
    await bare.send({ type: 'highlight', subject: { place: 'device:A-2', name: 'A-2' } });
    await bare.page.locator('.is-cursor .frame').waitFor();
    await bare.send(pictureMessage(2));
    const [frame, box] = [await bare.boxOf('.is-cursor .frame'), await bare.boxOf(device('A-2'))];
    expect(frame.x).toBeLessThan(box.x);
    expect(frame.x + frame.width).toBeGreaterThan(box.x + box.width);
    await bare.send({ type: 'highlight', subject: null });
    await expect.poll(() => bare.page.locator('.is-cursor').count()).toBe(0);
  });

  it('is all of its line for a bus', async () => {
    await bare.send(pictureMessage(1));
    await bare.send({ type: 'highlight', subject: { place: 'bus:f:pill', name: 'f' } });
    await bare.page.locator('.is-cursor .halo').first().waitFor({ state: 'attached' });
    expect(await bare.page.locator('.is-cursor .halo').count()).toBe(2);
    expect(await bare.page.locator('.is-cursor .frame').count()).toBe(0);
  });

  it('is a part of a device where the device itself is not drawn', async () => {
    await bare.send(pictureMessage(1));
    await bare.send({ type: 'highlight', subject: { place: 'device:B-1', name: 'B-1' } });
    await bare.page.locator('.is-cursor .frame').waitFor();
    const [frame, box] = [await bare.boxOf('.is-cursor .frame'), await bare.boxOf('#strip')];
    expect(frame.x).toBeLessThan(box.x);
    expect(frame.x + frame.width).toBeGreaterThan(box.x + box.width);
  });

  it('moves the picture only when it is out of sight', async () => {
    await bare.send(pictureMessage(1));
    await bare.page.locator('.stage').focus();
    for (let times = 0; times < 5; times += 1) {
      await bare.page.keyboard.press('+');
    }
    const before = await bare.boxOf(device('A-2'));
    await bare.send({ type: 'highlight', subject: { place: 'device:A-2', name: 'A-2' } });
    expect(await bare.boxOf(device('A-2'))).toEqual(before);
    await bare.send({ type: 'highlight', subject: { place: 'device:A-1', name: 'A-1' } });
    await expect
      .poll(async () => {
        const [box, stage] = [await bare.boxOf(device('A-1')), await bare.boxOf('.stage')];
        return box.x >= stage.x && box.y >= stage.y;
      })
      .toBe(true);
  });
});

describe('the keyboard', () => {
  const focusedName = () =>
    bare.page.evaluate(() => {
      let active = document.activeElement;
      while (active?.shadowRoot?.activeElement) {
        active = active.shadowRoot.activeElement;
      }
      return active?.getAttribute('aria-label') ?? active?.textContent ?? '';
    });

  it('reaches the zoom, the drawing and the findings in that order', async () => {
    await bare.send(pictureMessage(1));
    const names = [];
    for (let times = 0; times < 6; times += 1) {
      await bare.page.keyboard.press('Tab');
      names.push(await focusedName());
    }
    expect(names).toEqual([
      'Zoom out',
      'Zoom in',
      'Actual size',
      'Show the whole drawing',
      'Mill, topology',
      '1 finding',
    ]);
  });

  it('walks along the bus and over the floors, and opens the text', async () => {
    await bare.send(pictureMessage(1));
    await bare.page.locator('.stage').focus();
    const walk = async (key: string) => {
      await bare.page.keyboard.press(key);
      return focusedName();
    };
    expect(await walk('ArrowRight')).toBe('A-1, outdoor unit');
    expect(await walk('ArrowRight')).toBe('A-2, indoor unit');
    expect(await walk('End')).toBe('A-3, indoor unit, 1 error');
    expect(await walk('ArrowUp')).toBe('A-1, outdoor unit');
    expect(await walk('PageDown')).toBe('A-2, indoor unit');
    await bare.page.locator('.is-focus .frame').waitFor();
    await bare.messages();
    await bare.page.keyboard.press('Enter');
    expect(await bare.message('open')).toEqual({ type: 'open', place: 'device:A-2' });
    expect(await walk('e')).toBe('A-3, indoor unit, 1 error');
    await bare.page.keyboard.press('Escape');
    expect(await focusedName()).toBe('Mill, topology');
  });

  it('keeps its place over a new picture', async () => {
    await bare.send(pictureMessage(1));
    await bare.page.locator('.stage').focus();
    await bare.page.keyboard.press('ArrowRight');
    await bare.page.keyboard.press('ArrowRight');
    await bare.send(pictureMessage(2));
    expect(await focusedName()).toBe('A-2, indoor unit');
    await bare.page.keyboard.press('ArrowRight');
    expect(await focusedName()).toBe('A-3, indoor unit, 1 error');
  });

  it('leads to the text of a finding', async () => {
    await bare.send(pictureMessage(7));
    await bare.page.getByText('1 finding').click();
    await bare.page
      .getByRole('button', { name: '1, error: The far end <b>A-3</b> has no terminator.' })
      .click();
    expect(await bare.message('openFinding')).toEqual({
      type: 'openFinding',
      revision: 7,
      number: 1,
    });
  });
});

describe('a screen reader', () => {
  it('hears names and roles', async () => {
    await bare.send(pictureMessage(1));
    const stage = bare.page.getByRole('application', { name: 'Mill, topology' });
    await stage.getByRole('button', { name: 'A-3, indoor unit, 1 error' }).waitFor();
    await bare.page.getByRole('toolbar', { name: 'Zoom' }).waitFor();
    await bare.page.getByRole('heading', { name: 'Mill, topology' }).waitFor();
  });
});

describe('motion', () => {
  it('is never added by the page', async () => {
    await bare.send(pictureMessage(1));
    await bare.page.getByRole('button', { name: 'Zoom in' }).click();
    await bare.send({ type: 'highlight', subject: { place: 'device:A-1', name: 'A-1' } });
    expect(await bare.page.evaluate(() => document.getAnimations().length)).toBe(0);
  });
});
