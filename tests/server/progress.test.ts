/** What is next on site, as the view of an editor asks for it. */
import { readFileSync } from 'node:fs';
import { afterAll, beforeAll, expect, it } from 'vitest';
import type { ProgressResult } from '../../src/server/protocol.js';
import { TestClient } from '../support/lsp.js';
import { smallSite } from '../support/command-line.js';

const common = readFileSync('src/rules/common.ferrule', 'utf8');
const site =
  `${smallSite.replace('role site-controller', 'role site-controller\n  supervises other via line up to 8')}
area Hall { room Desk }
`.replace('device N-1 : Node {', 'device N-1 : Node in Desk {');

let client: TestClient;
beforeAll(async () => {
  client = await TestClient.start({ 'small.ferrule': site, 'common.ferrule': common });
});
afterAll(() => client.stop());

const progress = (file: string) =>
  client.connection.sendRequest<ProgressResult>('ferrule/progress', { uri: client.uri(file) });

it('tells each thing to look at with its place, and follows the text', async () => {
  await client.edit('small.ferrule', site);
  const before = await progress('small.ferrule');
  expect(before.areas.map(({ title }) => title)).toEqual(['Hall', null]);
  const [hall, rest] = before.areas;
  expect(hall!.tasks).toEqual([
    {
      text: 'N-1 on its controllers',
      state: 'open',
      uri: client.uri('small.ferrule'),
      range: expect.objectContaining({
        start: expect.objectContaining({
          line: site.split('\n').findIndex((line) => line.startsWith('device N-1')),
        }) as object,
      }) as object,
    },
  ]);
  expect(rest!.tasks.map(({ text }) => text)).toContain('what M-1 finds');
  await client.edit('small.ferrule', `${site}observed M-1 finds 1 on 2026-11-20\n`);
  const after = await progress('small.ferrule');
  expect(after.areas[0]!.tasks[0]!.state).toBe('found');
});

it('has nothing for a file without a site', async () => {
  await client.edit('common.ferrule', common);
  expect((await progress('common.ferrule')).areas).toEqual([]);
});
