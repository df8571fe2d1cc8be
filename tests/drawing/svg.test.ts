import { describe, expect, it } from 'vitest';
import { drawTopologyScene, planTopology } from '../../src/drawing/index.js';
import {
  RUN_COLOURS,
  RUN_DASHES as DASH_COUNT,
} from '../../src/drawing/layout/topology/assemble.js';
import {
  DARK,
  LIGHT,
  RUN_COLOURS_DARK,
  RUN_COLOURS_LIGHT,
  RUN_DASHES,
  STYLE_SHEET,
  type Palette,
} from '../../src/drawing/svg/style.js';
import { fontMeasure } from '../../src/drawing/svg/text-measure.js';
import { escaped, writeSvg } from '../../src/drawing/svg/write-svg.js';
import { contrast, distance, type Vision } from '../support/colours.js';
import { randomScene } from '../support/scenes.js';
import { wildScene } from '../support/wild-scenes.js';

describe('the SVG', () => {
  it('is well formed: every element is closed, every attribute quoted, nothing else is markup', () => {
    for (const seed of [1, 2, 3, 4, 5]) {
      const { svg } = drawTopologyScene(wildScene(seed, 30));
      const open: string[] = [];
      const rest = svg.replace(
        /<(\/?)([a-z]+)((?: [a-zA-Z-]+="[^"<>]*")*)(\/?)>/gu,
        (_, closing: string, name: string, __, empty: string) => {
          if (closing) expect(open.pop()).toBe(name);
          else if (!empty) open.push(name);
          return '';
        },
      );
      expect(open).toEqual([]);
      expect(rest).not.toMatch(/[<>]/u);
    }
  });

  it('takes the words of a site as text only', () => {
    const evil = "\"><script>alert(1)</script><g onload='x'>&amp;\u0000\u0008";
    const scene = randomScene(3, 12);
    const { svg } = drawTopologyScene({
      ...scene,
      sheet: { ...scene.sheet, title: evil, owner: evil },
      areas: scene.areas.map((area) => ({
        ...area,
        title: evil,
        mark: { place: evil, name: evil },
      })),
      devices: scene.devices.map((device) => ({
        ...device,
        tag: evil,
        title: evil,
        mark: { place: evil, name: evil },
      })),
      findings: scene.findings.map((finding) => ({ ...finding, message: evil, rule: evil })),
    });
    const tags = new Set([...svg.matchAll(/<\/?([a-zA-Z]+)/gu)].map(([, name]) => name));
    expect([...tags].sort()).toEqual(
      ['circle', 'desc', 'g', 'path', 'rect', 'style', 'svg', 'text', 'title'].sort(),
    );
    const attributes = new Set([...svg.matchAll(/ ([a-zA-Z-]+)="/gu)].map(([, name]) => name));
    expect([...attributes].filter((name) => name?.startsWith('on'))).toEqual([]);
    expect(svg).not.toMatch(/[\u0000-\u0008]/u);
  });

  it('escapes what means something in XML and drops what XML does not allow', () => {
    expect(escaped(`<a b="c">&'\u0001`)).toBe('&lt;a b=&quot;c&quot;&gt;&amp;&#39;\uFFFD');
    expect(escaped('Grüße 控制 ≈ 14 m')).toBe('Grüße 控制 ≈ 14 m');
  });

  it('sets every text in the room that was measured for it', () => {
    const { svg } = drawTopologyScene(randomScene(2, 60));
    const texts = [...svg.matchAll(/<text ([^>]*)>([^<]*)<\/text>/gu)];
    expect(texts.length).toBeGreaterThan(200);
    for (const [, attributes = '', content = ''] of texts) {
      const value = (name: string) =>
        new RegExp(` ${name}="([^"]*)"`, 'u').exec(` ${attributes}`)?.[1];
      const weight = value('font-weight') === '700' ? 700 : 400;
      const plain = content.replace(/&#39;/gu, "'").replace(/&amp;/gu, '&');
      const width = fontMeasure.width(plain, Number(value('font-size')), weight);
      expect(Number(value('textLength')), content).toBeCloseTo(width, 1);
    }
  });

  it('writes numbers short and points without a minus zero', () => {
    const { svg } = drawTopologyScene(randomScene(4, 30));
    expect(svg).not.toMatch(/\d\.\d{3}/u);
    expect(svg).not.toMatch(/[" ]-0[" ]/u);
  });

  it('fixes its theme where one is asked for', () => {
    const { list, svg } = drawTopologyScene(randomScene(1, 10));
    expect(svg).toContain('class="ferrule-drawing"');
    expect(writeSvg(list, 'dark')).toContain('class="ferrule-drawing fd-theme-dark"');
  });

  it('says in its style sheet what every class looks like that needs a look', () => {
    const { svg } = drawTopologyScene(randomScene(5, 60));
    const shapes = [...svg.matchAll(/<(?:path|rect|circle) class="([^"]*)"/gu)].map(
      ([, one]) => one,
    );
    const unknown = new Set(
      shapes
        .flatMap((classes) => (classes ?? '').split(' '))
        .filter((name) => !STYLE_SHEET.includes(`.${name}`)),
    );
    expect([...unknown]).toEqual([]);
  });
});

describe('the colours', () => {
  const palettes: readonly (readonly [string, Palette, readonly string[]])[] = [
    ['light', LIGHT, RUN_COLOURS_LIGHT],
    ['dark', DARK, RUN_COLOURS_DARK],
  ];

  it.each(palettes)('%s: texts stand out 4.5 times, lines 3 times', (_, palette, runs) => {
    for (const text of [palette.ink, palette.muted]) {
      expect(contrast(text, palette.ground)).toBeGreaterThanOrEqual(4.5);
      expect(contrast(text, palette.box)).toBeGreaterThanOrEqual(4.5);
    }
    expect(contrast(palette.onError, palette.error)).toBeGreaterThanOrEqual(4.5);
    const { feed, branch, ip, local, frame, error, warning, hint } = palette;
    for (const line of [...runs, feed, branch, ip, local, frame, error, warning, hint]) {
      expect(contrast(line, palette.ground), line).toBeGreaterThanOrEqual(3);
    }
  });

  it.each(palettes)('%s: runs differ for every kind of colour vision', (_, __, runs) => {
    for (const vision of ['usual', 'protan', 'deutan', 'tritan'] as Vision[]) {
      runs.forEach((one, index) => {
        for (const other of runs.slice(index + 1)) {
          expect(distance(one, other, vision), `${one} ${other} ${vision}`).toBeGreaterThanOrEqual(
            12,
          );
        }
      });
    }
  });

  it('are joined by a dash, so that neighbours differ in both', () => {
    expect([RUN_COLOURS, DASH_COUNT]).toEqual([RUN_COLOURS_LIGHT.length, RUN_DASHES.length]);
    expect(new Set(RUN_DASHES).size).toBe(RUN_DASHES.length);
    const styles = [...planTopology(randomScene(9, 400)).runStyles.values()];
    expect(styles.length).toBeGreaterThan(10);
    styles.slice(1).forEach((style, index) => {
      expect(style.colour).not.toBe(styles[index]?.colour);
      expect(style.dash).not.toBe(styles[index]?.dash);
    });
  });
});
