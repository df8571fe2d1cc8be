/** The site as a tree, and the files of a new one, as an editor asks for them. */
import { readFileSync } from 'node:fs';
import { afterAll, beforeAll, expect, it } from 'vitest';
import type { NewSiteResult, SiteNode, SiteTreeResult } from '../../src/server/protocol.js';
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

async function groups(): Promise<readonly SiteNode[]> {
  const params = { uri: client.uri('small.ferrule') };
  return (await client.connection.sendRequest<SiteTreeResult>('ferrule/siteTree', params)).groups;
}

it('puts a device below the area of its room, with the place of its name', async () => {
  await client.edit('small.ferrule', site);
  const tree = await groups();
  const hall = tree.find(({ name }) => name === 'areas')!.children[0]!;
  expect(hall.name).toBe('Hall');
  const [node] = hall.children;
  const line = site.split('\n').findIndex((one) => one.startsWith('device N-1'));
  expect(node).toMatchObject({
    name: 'N-1',
    kind: 'device',
    uri: client.uri('small.ferrule'),
    range: { start: { line, character: 'device '.length } },
  });
  const elsewhere = tree.find(({ name }) => name === 'elsewhere')!.children;
  expect(elsewhere.map(({ name }) => name)).not.toContain('N-1');
});

it('counts at a bus what is wrong with it, and adds it up in its group', async () => {
  await client.edit('small.ferrule', site);
  const before = (await groups()).find(({ name }) => name === 'buses')!;
  await client.edit('small.ferrule', site.replace(' terminated', ''));
  const after = (await groups()).find(({ name }) => name === 'buses')!;
  expect(after.errors).toBeGreaterThan(before.errors);
  expect(after.errors).toBe(after.children.reduce((sum, { errors }) => sum + errors, 0));
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
