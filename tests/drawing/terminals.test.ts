/** What must hold in every terminals picture, tried on invented runs. */
import { describe, expect, it } from 'vitest';
import { drawTerminalsScene, planTerminals } from '../../src/drawing/index.js';
import type { Rect } from '../../src/drawing/layout/geometry.js';
import type { TerminalsPlan } from '../../src/drawing/layout/terminals/plan.js';
import type { TerminalsScene } from '../../src/drawing/scene/scene.js';
import { terminalsFaults } from '../support/terminals-metrics.js';
import { wildTerminals } from '../support/wild-scenes.js';

const blocks = Array.from({ length: 10 }, (_, block) => block * 30 + 1);

describe('a terminals picture', () => {
  it.each(blocks)('keeps strips, cores and texts apart (runs from %i)', (first) => {
    for (let seed = first; seed < first + 30; seed++) {
      const plan = planTerminals(wildTerminals(seed));
      expect({ seed, faults: terminalsFaults(plan) }).toEqual({ seed, faults: [] });
    }
  });

  it.each(blocks)('shows every strip, terminal, core and finding (runs from %i)', (first) => {
    for (let seed = first; seed < first + 30; seed++) {
      const scene = wildTerminals(seed);
      const plan = planTerminals(scene);
      expect(plan.strips.map((strip) => strip.id)).toEqual(scene.strips.map((strip) => strip.id));
      expectCores(scene, plan);
      expect(plan.badges.map((badge) => badge.number)).toEqual(
        scene.findings.map((_, index) => index + 1),
      );
      for (const strip of scene.strips) {
        const ends = plan.terminations.filter((one) => one.stripId === strip.id);
        expect(ends.map((one) => one.state)).toEqual(
          strip.terminator === 'none' ? [] : [strip.terminator],
        );
        const bonds = plan.earths.filter((one) => one.stripId === strip.id);
        expect(bonds).toHaveLength(
          strip.terminals.filter((terminal) => terminal.screen === 'bonded').length,
        );
      }
    }
  });

  it('gives the same bytes for the same run', () => {
    for (let seed = 1; seed <= 20; seed++) {
      expect(drawTerminalsScene(wildTerminals(seed)).svg).toBe(
        drawTerminalsScene(wildTerminals(seed)).svg,
      );
    }
  });

  it('never paints a screen in the colours of the protective conductor', () => {
    let seen = 0;
    for (let seed = 1; seed <= 40; seed++) {
      const { svg } = drawTerminalsScene(wildTerminals(seed));
      const cores = svg
        .split('<g class="fd-core">')
        .slice(1)
        .map((rest) => rest.split('</g>')[0] ?? '');
      const screens = cores.filter((core) => core.includes('fd-screen'));
      expect(screens.filter((screen) => screen.includes('fd-colour-'))).toEqual([]);
      seen += screens.length;
    }
    expect(seen).toBeGreaterThan(100);
  });
});

function expectCores(scene: TerminalsScene, plan: TerminalsPlan): void {
  const strips = new Map(plan.strips.map((strip) => [strip.id, strip.rect]));
  for (const cable of scene.cables) {
    const from = strips.get(cable.from);
    const to = strips.get(cable.to);
    if (!from || !to) continue;
    const drawn = plan.cores.filter((core) => core.cableId === cable.id);
    // Straight to the next strip once, else once at each end.
    const isHalved = plan.continuations.some((one) => one.cableId === cable.id);
    expect(drawn).toHaveLength(cable.cores.length * (isHalved ? 2 : 1));
    for (const core of cable.cores) {
      const halves = drawn.filter((one) => one.id === core.id);
      const ends = halves.flatMap((half) => [half.points[0], half.points.at(-1)]);
      const touches = (rect: Rect) =>
        ends.some(
          (end) =>
            end &&
            (Math.abs(end.x - rect.x) < 0.01 || Math.abs(end.x - rect.x - rect.width) < 0.01),
        );
      if (core.kind === 'screen' || cable.from === cable.to) continue;
      if (core.fromTerminal !== undefined) expect(touches(from), `${core.id} leaves`).toBe(true);
      if (core.toTerminal !== undefined) expect(touches(to), `${core.id} lands`).toBe(true);
    }
  }
}
