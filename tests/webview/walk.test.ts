import { describe, expect, it } from 'vitest';
import {
  type Step,
  stepFrom,
  type Stop,
} from '../../src/extension/features/drawing/webview/walk.js';

/** Two floors, a bus over both, and a wall controller under the second unit of the upper floor. */
const stops: Stop[] = [
  { place: 'A1', x: 0, y: 0, chain: 'bus', area: 'upper' },
  { place: 'A2', x: 100, y: 0, chain: 'bus', area: 'upper' },
  { place: 'RC', x: 110, y: 40, chain: 'room', area: 'upper' },
  { place: 'B1', x: 0, y: 100, chain: 'bus', area: 'lower' },
  { place: 'B2', x: 100, y: 100, chain: 'bus', area: 'lower' },
];

const walk = (from: string, ...steps: Step[]) => {
  let index = stops.findIndex((stop) => stop.place === from);
  for (const step of steps) {
    index = stepFrom(stops, index, step);
  }
  return stops[index]?.place;
};

describe('walking through a picture', () => {
  it.each<[string, Step[], string]>([
    ['A1', ['next'], 'A2'],
    ['A2', ['next'], 'B1'],
    ['B1', ['previous', 'previous'], 'A1'],
    ['A1', ['previous'], 'A1'],
    ['B2', ['next'], 'B2'],
    ['RC', ['next'], 'RC'],
  ])('from %s by %s stays on the chain and ends at %s', (from, steps, to) => {
    expect(walk(from, ...steps)).toBe(to);
  });

  it.each<[string, Step, string]>([
    ['A2', 'down', 'RC'],
    ['RC', 'down', 'B2'],
    ['RC', 'up', 'A2'],
    ['A1', 'down', 'B1'],
    ['A1', 'up', 'A1'],
    ['A2', 'next-area', 'B1'],
    ['B2', 'previous-area', 'A1'],
    ['B2', 'next-area', 'B2'],
    ['B1', 'first', 'A1'],
    ['A1', 'last', 'B2'],
  ])('from %s %s leads to %s', (from, step, to) => {
    expect(walk(from, step)).toBe(to);
  });

  it('begins at the first stop, and nowhere when there is none', () => {
    expect(stepFrom(stops, -1, 'next')).toBe(0);
    expect(stepFrom([], -1, 'next')).toBe(-1);
  });

  it('goes through the list where nothing says what is a chain', () => {
    const loose = stops.map(({ place, x, y }) => ({ place, x, y }));
    expect(stepFrom(loose, 1, 'next')).toBe(2);
  });
});
