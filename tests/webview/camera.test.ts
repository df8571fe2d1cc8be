import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  cornerOf,
  fitted,
  panned,
  revealing,
  scaledTo,
  zoomedAt,
} from '../../src/extension/features/drawing/webview/camera.js';

const runs = { numRuns: 1_000 };
const length = fc.double({ min: 50, max: 5_000, noNaN: true });
const size = fc.record({ width: length, height: length });
const part = fc.double({ min: 0, max: 1, noNaN: true });
const camera = fc.record({
  scale: fc.double({ min: 0.05, max: 8, noNaN: true }),
  centreX: length,
  centreY: length,
});

describe('fitting', () => {
  it('shows the whole picture in the middle, never larger than life', () => {
    fc.assert(
      fc.property(size, size, (picture, stage) => {
        const fit = fitted(picture, stage);
        const corner = cornerOf(fit, stage);
        expect(fit.scale).toBeLessThanOrEqual(1);
        if (fit.scale > 0.05) {
          expect(corner.x).toBeGreaterThanOrEqual(0);
          expect(corner.y).toBeGreaterThanOrEqual(0);
        }
        expect(2 * corner.x + picture.width * fit.scale).toBeCloseTo(stage.width, 6);
        expect(2 * corner.y + picture.height * fit.scale).toBeCloseTo(stage.height, 6);
      }),
      runs,
    );
  });
});

describe('zooming at a point', () => {
  it('leaves what stands under the point where it is', () => {
    const factor = fc.double({ min: 0.2, max: 5, noNaN: true });
    fc.assert(
      fc.property(camera, size, part, part, factor, (before, stage, x, y, by) => {
        const at = { x: x * stage.width, y: y * stage.height };
        const after = zoomedAt(before, stage, at, by);
        const under = (seen: typeof before) => ({
          x: (at.x - cornerOf(seen, stage).x) / seen.scale,
          y: (at.y - cornerOf(seen, stage).y) / seen.scale,
        });
        expect(under(after).x).toBeCloseTo(under(before).x, 4);
        expect(under(after).y).toBeCloseTo(under(before).y, 4);
      }),
      runs,
    );
  });

  it('stops at the smallest and the greatest scale', () => {
    const middle = { scale: 1, centreX: 10, centreY: 20 };
    expect(scaledTo(middle, 1_000)).toEqual({ scale: 8, centreX: 10, centreY: 20 });
    expect(scaledTo(middle, 0)).toEqual({ scale: 0.05, centreX: 10, centreY: 20 });
  });
});

describe('panning', () => {
  it('moves by pixels of the screen and keeps some of the picture in sight', () => {
    const before = { scale: 2, centreX: 100, centreY: 100 };
    const picture = { width: 400, height: 300 };
    expect(panned(before, picture, { x: 20, y: -10 })).toEqual({
      scale: 2,
      centreX: 90,
      centreY: 105,
    });
    expect(panned(before, picture, { x: 1e6, y: -1e6 })).toEqual({
      scale: 2,
      centreX: 0,
      centreY: 300,
    });
  });
});

describe('revealing a box', () => {
  const stage = { width: 400, height: 200 };

  it('moves nothing when the box is seen', () => {
    const seen = { scale: 1, centreX: 200, centreY: 100 };
    expect(revealing(seen, stage, { x: 100, y: 50, width: 80, height: 30 })).toEqual(seen);
  });

  it('moves as little as needed, with a margin', () => {
    const seen = { scale: 1, centreX: 200, centreY: 100 };
    expect(revealing(seen, stage, { x: 500, y: 50, width: 80, height: 30 })).toEqual({
      scale: 1,
      centreX: 392,
      centreY: 100,
    });
  });

  it('centres a box that is larger than the stage', () => {
    const seen = { scale: 1, centreX: 0, centreY: 0 };
    expect(revealing(seen, stage, { x: 0, y: 0, width: 1_000, height: 1_000 })).toEqual({
      scale: 1,
      centreX: 500,
      centreY: 500,
    });
  });
});
