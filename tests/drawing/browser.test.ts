/** The pictures in a real browser, with fonts that are wider, narrower and otherwise than the one they were measured for. */
import { type Browser, chromium } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { drawTerminalsScene, drawTopologyScene } from '../../src/drawing/index.js';
import { rectsOverlap, type Rect } from '../../src/drawing/layout/geometry.js';
import { randomScene } from '../support/scenes.js';
import { wildTerminals } from '../support/wild-scenes.js';

const FONTS = {
  'as the drawing asks': undefined,
  wide: 'DejaVu Sans, Verdana',
  narrow: 'Liberation Sans Narrow, Arial Narrow',
  monospaced: 'Liberation Mono, DejaVu Sans Mono, monospace',
};

const PICTURES = {
  'a topology of 60 devices': () => drawTopologyScene(randomScene(12, 60)).svg,
  'the terminals of a run': () => drawTerminalsScene(wildTerminals(8)).svg,
};

let browser: Browser;

beforeAll(async () => {
  browser = await chromium.launch({
    executablePath: process.env['CHROMIUM'] ?? '/usr/bin/chromium',
    args: ['--no-sandbox', '--disable-gpu', '--disable-background-networking'],
  });
});

afterAll(async () => {
  await browser.close();
});

/** A text as the browser set it: its box in the picture, and the box it belongs to. */
interface SetText {
  readonly text: string;
  readonly rect: Rect;
  readonly box: Rect | null;
}

describe.each(Object.entries(PICTURES))('%s', (_, picture) => {
  it.each(Object.entries(FONTS))(
    'has no text on another one or out of its box, font %s',
    async (_, font) => {
      const texts = await textsOf(picture(), font);
      expect(texts.length).toBeGreaterThan(50);
      const faults: string[] = [];
      texts.forEach((one, index) => {
        for (const other of texts.slice(index + 1)) {
          if (rectsOverlap(one.rect, other.rect)) faults.push(`${one.text} on ${other.text}`);
        }
        const { box, rect } = one;
        if (box && (rect.x < box.x || rect.x + rect.width > box.x + box.width)) {
          faults.push(`${one.text} out of its box`);
        }
      });
      expect(faults).toEqual([]);
    },
  );
});

async function textsOf(svg: string, font: string | undefined): Promise<SetText[]> {
  const page = await browser.newPage();
  const style = font === undefined ? '' : `<style>text{font-family:${font}!important}</style>`;
  await page.setContent(`<!doctype html><meta charset="utf-8">${style}<body>${svg}`);
  const texts = await page.evaluate(() =>
    [...document.querySelectorAll('text')].map((text) => {
      const { x, width } = text.getBBox();
      const size = Number(text.getAttribute('font-size'));
      const baseline = Number(text.getAttribute('y'));
      const owner = text.closest('.fd-device, .fd-strip')?.querySelector('rect')?.getBBox();
      return {
        text: text.textContent ?? '',
        // The browser says how wide it set the text; the height of the letters is part of their size.
        rect: { x, y: baseline - 0.72 * size, width, height: 0.92 * size },
        box: owner ? { x: owner.x, y: owner.y, width: owner.width, height: owner.height } : null,
      };
    }),
  );
  await page.close();
  return texts.filter(({ text }) => text !== '');
}
