/** The site as a tree, and the files of a new one, as an editor asks for them. */
import { readFileSync } from 'node:fs';
import { afterAll, beforeAll, expect, it } from 'vitest';
import type {
  NewSiteResult,
  SiteNode,
  SiteTreeParams,
  SiteTreeResult,
} from '../../src/server/protocol.js';
import { memoryFiles } from '../../src/workbench/files.js';
import { Workbench } from '../../src/workbench/workbench.js';
import { TestClient } from '../support/lsp.js';
import { smallSite } from '../support/command-line.js';
import { testDay } from '../support/site.js';

const common = readFileSync('src/rules/common.ferrule', 'utf8');
const site = `${smallSite}
area Hall { room Desk }
`.replace('device N-1 : Node {', 'device N-1 : Node in Desk {');

let client: TestClient;
beforeAll(async () => {
  client = await TestClient.start({ 'small.ferrule': site, 'common.ferrule': common });
});
afterAll(() => client.stop());

async function level(below?: SiteTreeParams['below']): Promise<readonly SiteNode[]> {
  const params = { uri: client.uri('small.ferrule'), ...(below === undefined ? {} : { below }) };
  return (await client.connection.sendRequest<SiteTreeResult>('ferrule/siteTree', params)).nodes;
}

it('puts a device below the area of its room, with the place of its name', async () => {
  await client.edit('small.ferrule', site);
  const groups = await level();
  expect(groups.map(({ kind, name }) => `${kind} ${name}`)).toEqual(
    expect.arrayContaining(['group areas', 'group elsewhere', 'group buses']),
  );
  expect(await level({ kind: 'group', name: 'areas' })).toEqual([
    expect.objectContaining({ name: 'Hall', kind: 'area', hasChildren: true }),
  ]);
  const [node] = await level({ kind: 'area', name: 'Hall' });
  const line = site.split('\n').findIndex((one) => one.startsWith('device N-1'));
  expect(node).toMatchObject({
    name: 'N-1',
    kind: 'device',
    uri: client.uri('small.ferrule'),
    range: { start: { line, character: 'device '.length } },
  });
  const elsewhere = await level({ kind: 'group', name: 'elsewhere' });
  expect(elsewhere.map(({ name }) => name)).toContain('M-1');
  expect(elsewhere.map(({ name }) => name)).not.toContain('N-1');
});

it('counts at a bus what is wrong with it, and adds it up in its group', async () => {
  const buses = async () => (await level()).find(({ name }) => name === 'buses')!;
  await client.edit('small.ferrule', site);
  const before = await buses();
  await client.edit('small.ferrule', site.replace(' terminated', ''));
  const after = await buses();
  expect(after.errors).toBeGreaterThan(before.errors);
  const each = await level({ kind: 'group', name: 'buses' });
  expect(after.errors).toBe(each.reduce((sum, { errors }) => sum + errors, 0));
});

it('counts at an area what is wrong with a device in it', async () => {
  await client.edit(
    'small.ferrule',
    site.replace(/(device N-1 : Node in Desk \{.*?)address \d+/u, '$1'),
  );
  const [hall] = await level({ kind: 'group', name: 'areas' });
  const [node] = await level({ kind: 'area', name: 'Hall' });
  expect(node!.errors).toBeGreaterThan(0);
  expect(hall!.errors).toBe(node!.errors);
});

it('gives the files of a new site, which is right when it is written', async () => {
  const made = await client.connection.sendRequest<NewSiteResult>('ferrule/newSite', {
    name: 'Old mill',
  });
  const texts = Object.fromEntries(made.files.map(({ path, text }) => [path, text]));
  expect(made.site).toBe(made.files.at(-1)!.path);
  expect(texts[made.site]).toContain('site Old-mill "Old mill"');
  const checked = new Workbench(memoryFiles(texts)).check(made.site, testDay)!;
  expect(checked.findings.filter(({ finding }) => finding.severity !== 'hint')).toEqual([]);
});
