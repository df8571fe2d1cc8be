import { describe, expect, it } from 'vitest';
import { nearNames } from '../../src/analysis/near-names.js';

describe('the names that somebody may have meant', () => {
  it.each([
    ['feild', ['field', 'room'], ['field']],
    ['W9', ['W1', 'W2', 'Q1'], ['W1', 'W2']],
    ['FC-1-3', ['FC-1-03', 'FC-1-13', 'OU-1'], ['FC-1-03', 'FC-1-13']],
    ['screend', ['screened', 'screen'], ['screen', 'screened']],
  ])('%s is near', (mistyped, known, near) => {
    expect(nearNames(mistyped, known)).toEqual(near);
  });

  it('are found whatever the case of the letters', () => {
    expect(nearNames('b', ['A', 'B', 'C'])).toEqual(['B']);
  });

  it('are none for a single letter that stands for another', () => {
    expect(nearNames('X', ['B', 'C', 'D', 'gG'])).toEqual([]);
  });

  it('are none where too much differs', () => {
    expect(nearNames('valve', ['field', 'room', 'mains'])).toEqual([]);
  });
});
