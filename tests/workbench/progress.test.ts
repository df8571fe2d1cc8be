/** How far commissioning is, from observations in the text. */
import { describe, expect, it } from 'vitest';
import { inProject } from '../../scripts/lib/root.mjs';
import { nodeFiles } from '../../src/disk/node-files.js';
import { drawingOf } from '../../src/workbench/outputs.js';
import { deviceStates, progressOf, type SeenState } from '../../src/workbench/progress.js';
import { Workbench } from '../../src/workbench/workbench.js';

const ROOT = 'examples/library/library.ferrule';

function withSeen(...seen: readonly string[]) {
  const files = nodeFiles({ base: inProject(), places: ['examples/library'] });
  const content = files.read(ROOT);
  const workbench = new Workbench(files);
  const text = content.kind === 'text' ? content.text.replaceAll(/^observed .*\n/gmu, '') : '';
  workbench.setText(ROOT, `${text}\n${seen.map((line) => `observed ${line}\n`).join('')}`);
  return workbench.check(ROOT, '2026-11-25')!;
}

const states = (...seen: readonly string[]) => deviceStates(withSeen(...seen).open);
const task = (subject: string, kind: string, ...seen: readonly string[]) =>
  progressOf(withSeen(...seen).open)
    .flatMap(({ tasks }) => tasks)
    .find((one) => one.subject === subject && one.kind === kind)?.state;

describe('what was seen', () => {
  it('is nothing at first', () => {
    const areas = progressOf(withSeen().open);
    expect(areas.map(({ area }) => area)).toEqual(['Roof', 'First floor', 'Ground floor']);
    expect(new Set(areas.flatMap(({ tasks }) => tasks.map(({ state }) => state)))).toEqual(
      new Set(['open']),
    );
    const inAreas = areas.flatMap(({ tasks }) => tasks);
    expect(new Set(inAreas.map(({ kind, subject }) => `${kind} ${subject}`)).size).toBe(
      inAreas.length,
    );
  });

  it.each<[string[], SeenState, SeenState, SeenState]>([
    // What was seen; what is known of WP-F1, of IU-F1 and of IU-F2.
    [['WP-F1 finds 2 on 2026-11-20'], 'found', 'found', 'found'],
    [['WP-F1 finds 1 on 2026-11-20'], 'missing', 'open', 'open'],
    [
      ['WP-F1 finds 1 on 2026-11-20', 'WP-F1 misses IU-F2 on 2026-11-20'],
      'missing',
      'found',
      'missing',
    ],
    [['WP-F1 misses IU-F2 on 2026-11-20'], 'open', 'open', 'missing'],
    [
      ['WP-F1 misses IU-F2 on 2026-11-20', 'WP-F1 finds 2 on 2026-11-21'],
      'found',
      'found',
      'found',
    ],
    [
      ['WP-F1 finds 2 on 2026-11-20', 'WP-F1 misses IU-F2 on 2026-11-21'],
      'found',
      'open',
      'missing',
    ],
    [
      ['GW-1 finds 8 on 2026-11-20', 'WP-F1 misses IU-F2 on 2026-11-20'],
      'open',
      'found',
      'missing',
    ],
  ])('%j', (seen, controller, first, second) => {
    const known = states(...seen);
    expect([known.get('WP-F1'), known.get('IU-F1'), known.get('IU-F2')]).toEqual([
      controller,
      first,
      second,
    ]);
  });

  it('of readings is compared with what is computed', () => {
    expect(task('line-1', 'ohms', 'line-1 measures 61 ohm power-off on 2026-11-20')).toBe('found');
    expect(task('line-1', 'ohms', 'line-1 measures 120 ohm power-off on 2026-11-20')).toBe(
      'missing',
    );
    expect(task('line-1', 'idle', 'line-1 measures 61 ohm power-off on 2026-11-20')).toBe('open');
    expect(
      task(
        'line-1',
        'ohms',
        'line-1 measures 120 ohm power-off on 2026-11-20',
        'line-1 measures 61 ohm power-off on 2026-11-21',
      ),
    ).toBe('found');
    expect(task('PS-1.primary', 'voltage', 'PS-1.primary measures 229 VAC on 2026-11-20')).toBe(
      'found',
    );
    expect(task('GW-1.eth', 'page', 'GW-1.eth page fails "expired" on 2026-11-20')).toBe('missing');
    expect(
      task(
        'GW-1.eth',
        'page',
        'GW-1.eth page fails "expired" on 2026-11-20',
        'GW-1.eth page opens on 2026-11-20',
      ),
    ).toBe('found');
  });
});

describe('the picture of it', () => {
  const checked = withSeen('WP-F1 finds 1 on 2026-11-20', 'WP-F1 misses IU-F2 on 2026-11-20');
  const seen = deviceStates(checked.open);

  it('has a mark of its own shape for each device there is something to see of, and explains it', () => {
    const drawing = drawingOf(checked, { view: 'topology' }, { seen })!;
    const layer = /<g class="fd-layer-seen">([\s\S]*?)<\/g>/u.exec(drawing.svg)![1]!;
    const count = (state: SeenState) => [...seen.values()].filter((one) => one === state).length;
    expect(layer.split('class="fd-cap"').length - 1).toBe(count('found'));
    expect(layer.split('class="fd-error"').length - 1).toBe(count('missing'));
    expect(layer.split('class="fd-joint"').length - 1).toBe(count('open'));
    for (const text of ['seen as expected', 'missing, or seen otherwise', 'not looked at yet']) {
      expect(drawing.svg).toContain(text);
    }
    expect(drawing.subjects.find(({ label }) => label.startsWith('IU-F2,'))!.label).toContain(
      'missing or seen otherwise',
    );
  });

  it('moves nothing: without the marks it is the usual one', () => {
    const usual = drawingOf(checked, { view: 'topology' })!;
    const marked = drawingOf(checked, { view: 'topology' }, { seen })!;
    const devices = (svg: string) =>
      [
        .../<g class="fd-layer-devices">[\s\S]*?<g class="fd-layer-(?:seen|landings)">/u
          .exec(svg)![0]
          .matchAll(/<rect [^>]*>/gu),
      ].map(String);
    expect(devices(marked.svg)).toEqual(devices(usual.svg));
    expect(usual.svg).not.toContain('fd-layer-seen');
  });
});
