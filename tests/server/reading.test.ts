/** Requests that help to read a site: structure, values beside the text, what hangs on what. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type {
  CallHierarchyItem,
  CallHierarchyIncomingCall,
  CallHierarchyOutgoingCall,
  CodeLens,
  DocumentHighlight,
  DocumentLink,
  FoldingRange,
  InlayHint,
  Location,
  SelectionRange,
  WorkspaceSymbol,
} from 'vscode-languageserver/node.js';
import { readFileSync } from 'node:fs';
import { TestClient } from '../support/lsp.js';

const common = readFileSync('src/rules/common.ferrule', 'utf8');

const site = `use "./common.ferrule"

site Mill "Mill House"

area Ground level 0 m {
  room Hall at 4 m, 3 m
}

board DB-1 in Hall {
  way W1 400 VAC three-phase 25 A curve C
  way W2 230 VAC 10 A curve B
}

device OU-1 : OutdoorUnit in Hall { address 1  inlet mains from DB-1.W1 }
device IU-1 : IndoorUnit in Hall { address 7  inlet mains from DB-1.W2 }
device PS-1 : ControlSupply in Hall { inlet primary from DB-1.W2 }
device TC-1 : TouchController in Hall { address 60 }
device GW-1 : Gateway in Hall

bus link : UnitLink using ScreenedPair {
  land OU-1.field terminated bonded
  land IU-1.field 14 m
  land TC-1.field 11 m terminated
}

feed F-1 from PS-1.out using SupplyPair {
  land TC-1.supply 12 m covered
}

network controls 10.40.8.0/24 {
  host GW-1.lan 10.40.8.20
  laptop 10.40.8.50
}
`;

let client: TestClient;
const document = () => ({ textDocument: { uri: client.uri('mill.ferrule') } });
const ask = <Result>(method: string, more: object = {}) =>
  client.connection.sendRequest<Result>(method, { ...document(), ...more });

beforeAll(async () => {
  client = await TestClient.start({ 'mill.ferrule': site, 'common.ferrule': common });
  await client.edit('mill.ferrule', site);
});
afterAll(() => client.stop());

describe('structure', () => {
  it('folds declarations and says what is folded away', async () => {
    const folds = await ask<FoldingRange[]>('textDocument/foldingRange');
    expect(folds.find((fold) => fold.startLine === 19)).toMatchObject({
      endLine: 23,
      collapsedText: '3 landings',
    });
  });

  it('grows a selection from a name to the file', async () => {
    const position = client.position('mill.ferrule', 'IU-1.field');
    const [selection] = await ask<SelectionRange[]>('textDocument/selectionRange', {
      positions: [position],
    });
    const lines: number[] = [];
    for (let one: SelectionRange | undefined = selection; one !== undefined; one = one.parent) {
      lines.push(one.range.end.line - one.range.start.line);
    }
    expect(lines.length).toBeGreaterThanOrEqual(4);
    expect(lines).toEqual([...lines].sort((a, b) => a - b));
    expect(lines[lines.length - 1]).toBe(site.split('\n').length - 1);
  });

  it('links the paths of use lines', async () => {
    const links = await ask<DocumentLink[]>('textDocument/documentLink');
    expect(links.map((link) => link.target)).toEqual([client.uri('common.ferrule')]);
  });

  it('highlights the whole run of a bus', async () => {
    const found = await client.at<DocumentHighlight[]>(
      'textDocument/documentHighlight',
      'mill.ferrule',
      'link : UnitLink',
    );
    expect(found.map((one) => one.range.start.line).sort((a, b) => a - b)).toEqual([
      19, 20, 21, 22,
    ]);
  });
});

describe('values beside the text', () => {
  it('stand above declarations', async () => {
    const lenses = await ask<CodeLens[]>('textDocument/codeLens');
    const resolved = await Promise.all(
      lenses.map((lens) => client.connection.sendRequest<CodeLens>('codeLens/resolve', lens)),
    );
    const texts = resolved.map((lens) => lens.command!.title);
    expect(texts).toContain('3 of 6 drops · 25 of 200 m');
    expect(texts).toContain('finds 1');
    expect(texts.some((text) => /^out 10 of 60 VA$/u.test(text))).toBe(true);
    expect(texts).toContain('1 host · 252 free');
  });

  it('stand behind landings of the lines asked for, and nowhere else', async () => {
    const range = { start: { line: 19, character: 0 }, end: { line: 27, character: 0 } };
    const hints = await ask<InlayHint[]>('textDocument/inlayHint', { range });
    expect(hints.map((hint) => [hint.position.line, hint.label])).toEqual([
      [21, 'at 14 m'],
      [22, 'at 25 m'],
      [26, expect.stringMatching(/^at 12 m · 23\.[89] V$/u)],
    ]);
    const none = await ask<InlayHint[]>('textDocument/inlayHint', {
      range: { start: { line: 0, character: 0 }, end: { line: 2, character: 0 } },
    });
    expect(none).toEqual([]);
  });
});

describe('what hangs on what', () => {
  const names = (locations: Location[]) => locations.map((one) => [one.uri, one.range.start.line]);

  it('leads from a device to its equipment and back', async () => {
    const type = await client.at<Location>(
      'textDocument/typeDefinition',
      'mill.ferrule',
      'IU-1 : ',
    );
    expect(type.uri).toBe(client.uri('common.ferrule'));
    const devices = await client.at<Location[]>(
      'textDocument/implementation',
      'mill.ferrule',
      'IndoorUnit in Hall',
    );
    expect(names(devices)).toEqual([[client.uri('mill.ferrule'), 14]]);
  });

  it('follows the supply and the supervision, both ways', async () => {
    const [item] = await client.at<CallHierarchyItem[]>(
      'textDocument/prepareCallHierarchy',
      'mill.ferrule',
      'TC-1 : ',
    );
    const above = await client.connection.sendRequest<CallHierarchyIncomingCall[]>(
      'callHierarchy/incomingCalls',
      { item },
    );
    expect(above.map((call) => `${call.from.name}: ${call.from.detail!}`)).toEqual([
      'PS-1: feeds TC-1.supply over F-1',
    ]);
    const below = await client.connection.sendRequest<CallHierarchyOutgoingCall[]>(
      'callHierarchy/outgoingCalls',
      { item },
    );
    expect(below.map((call) => `${call.to.name}: ${call.to.detail!}`)).toEqual([
      'IU-1: finds IU-1',
    ]);
  });

  it('finds devices by address, hosts by IP, and anything by name', async () => {
    const search = async (query: string) =>
      (await client.connection.sendRequest<WorkspaceSymbol[]>('workspace/symbol', { query })).map(
        (one) => one.name,
      );
    expect(await search('address 7')).toEqual(['IU-1']);
    expect(await search('10.40.8.')).toContain('GW-1.lan 10.40.8.20');
    expect(await search('tc-1')).toEqual(['TC-1']);
  });
});
