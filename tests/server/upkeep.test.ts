/** Formatting, moved files, refreshing and progress on a site of three files. */
import { afterEach, describe, expect, it } from 'vitest';
import type { CodeAction, TextEdit, WorkspaceEdit } from 'vscode-languageserver/node.js';
import type { PasteResult } from '../../src/server/protocol.js';
import { applied, TestClient } from '../support/lsp.js';

const files = {
  'mill.ferrule': `use "./lib folder/units.ferrule"
use "./rooms.ferrule"

site Mill "Mill House"

device S-1 : Sensor in Hall
`,
  'rooms.ferrule': 'area Ground level 0 m {\n  room Hall at 4 m, 3 m\n}\n',
  'lib folder/units.ferrule': `use "./links.ferrule"

equipment Sensor {
  role sensor
}
`,
  'lib folder/links.ferrule': 'cable Pair {\n  cores 2 x 1 mm2\n}\n',
};

let client: TestClient;
afterEach(() => client.stop());

const start = async (capabilities: object = {}, more: Readonly<Record<string, string>> = {}) => {
  client = await TestClient.start({ ...files, ...more }, capabilities);
  for (const [name, text] of Object.entries(files)) {
    await client.edit(name, text);
  }
};

const ask = <Result>(method: string, name: string, more: object): Promise<Result> =>
  client.connection.sendRequest<Result>(method, {
    textDocument: { uri: client.uri(name) },
    options: { tabSize: 2, insertSpaces: true },
    ...more,
  });

describe('formatting', () => {
  const untidy = 'area A  level 0 m {\n room X\n}\n\narea B  level 3 m {\n room Y\n}\n';

  it('of a range formats the declarations that it touches', async () => {
    await start();
    await client.edit('rooms.ferrule', untidy);
    const edits = await ask<TextEdit[]>('textDocument/rangeFormatting', 'rooms.ferrule', {
      range: { start: { line: 1, character: 0 }, end: { line: 1, character: 2 } },
    });
    expect(applied(untidy, edits)).toBe(
      'area A level 0 m {\n  room X\n}\n\narea B  level 3 m {\n room Y\n}\n',
    );
  });

  it('follows a typed brace, and leaves an open block alone', async () => {
    await start();
    await client.edit('rooms.ferrule', untidy);
    const typed = (line: number, character: number, ch: string) =>
      ask<TextEdit[]>('textDocument/onTypeFormatting', 'rooms.ferrule', {
        position: { line, character },
        ch,
      });
    expect(applied(untidy, await typed(2, 1, '}'))).toContain('area A level 0 m {\n  room X\n}\n');
    expect(await typed(1, 0, '\n')).toEqual([]);
    expect(applied(untidy, await typed(3, 0, '\n'))).toBe(
      'area A level 0 m {\n  room X\n}\n\narea B  level 3 m {\n room Y\n}\n',
    );
  });

  it('leaves a declaration with a mistake as it is', async () => {
    await start();
    const broken = untidy.replace('room X', 'romo X');
    await client.edit('rooms.ferrule', broken);
    const edits = await ask<TextEdit[]>('textDocument/rangeFormatting', 'rooms.ferrule', {
      range: { start: { line: 0, character: 0 }, end: { line: 6, character: 1 } },
    });
    expect(applied(broken, edits)).toBe(
      'area A  level 0 m {\n romo X\n}\n\narea B level 3 m {\n  room Y\n}\n',
    );
  });
});

describe('moved files', () => {
  const rename = (from: string, to: string) =>
    client.connection.sendRequest<WorkspaceEdit | null>('workspace/willRenameFiles', {
      files: [{ oldUri: client.uri(from), newUri: client.uri(to) }],
    });
  const changed = (edit: WorkspaceEdit | null) =>
    Object.fromEntries(
      Object.entries(files).flatMap(([name, text]) => {
        const edits = edit?.changes?.[client.uri(name)];
        return edits === undefined ? [] : [[name, applied(text, edits)]];
      }),
    );

  it('are found under their path with a blank in it', async () => {
    await start();
    expect(client.problems('mill.ferrule')).toEqual([]);
  });

  it('take the lines that name them along', async () => {
    await start();
    expect(changed(await rename('rooms.ferrule', 'places/all rooms.ferrule'))).toEqual({
      'mill.ferrule': files['mill.ferrule'].replace('./rooms', './places/all rooms'),
    });
  });

  it('in a folder keep the lines among themselves', async () => {
    await start();
    expect(changed(await rename('lib folder', 'library'))).toEqual({
      'mill.ferrule': files['mill.ferrule'].replace('lib folder', 'library'),
    });
  });

  it('have their own lines changed when they move away', async () => {
    await start();
    expect(changed(await rename('lib folder/units.ferrule', 'units.ferrule'))).toEqual({
      'mill.ferrule': files['mill.ferrule'].replace('./lib folder/units', './units'),
      'lib folder/units.ferrule': files['lib folder/units.ferrule'].replace(
        './links',
        './lib folder/links',
      ),
    });
  });

  it('that no line names change nothing', async () => {
    await start();
    expect(await rename('notes.txt', 'old/notes.txt')).toBeNull();
  });
});

describe('larger changes', () => {
  const site = `site Mill "Mill House"

cable Pair { cores 2 x 1 mm2 }

area Ground level 0 m {
  room Hall
}

area Upper level 3 m {
  room Loft
}

equipment Probe { role sensor }

device P-1 : Probe in Hall
device P-2 : Probe in Loft
`;
  const actions = () =>
    client.connection.sendRequest<CodeAction[]>('textDocument/codeAction', {
      textDocument: { uri: client.uri('mill.ferrule') },
      range: { start: { line: 4, character: 6 }, end: { line: 4, character: 6 } },
      context: { diagnostics: [], only: ['refactor'] },
    });

  it('make files where the client can', async () => {
    await start({
      workspace: { workspaceEdit: { documentChanges: true, resourceOperations: ['create'] } },
    });
    await client.edit('mill.ferrule', site);
    const [split] = await actions();
    expect(split).toMatchObject({
      title: 'Split by floor: 2 new files, ground.ferrule, upper.ferrule',
      kind: 'refactor.extract',
    });
    expect(split!.edit!.documentChanges![0]).toEqual({
      kind: 'create',
      uri: client.uri('ground.ferrule'),
    });
  });

  it('are not offered to a client that makes none', async () => {
    await start();
    await client.edit('mill.ferrule', site);
    expect(await actions()).toEqual([]);
  });

  it('put a table in as devices and tell what was left out', async () => {
    await start();
    await client.edit('mill.ferrule', site);
    const result = await client.connection.sendRequest<PasteResult>('ferrule/paste', {
      uri: client.uri('mill.ferrule'),
      position: { line: 15, character: 3 },
      text: 'P-3\tProbe\tLoft\nP-4\tProde\tLoft\n',
    });
    expect(applied(site, result.edits)).toBe(
      site.replace(
        'device P-2 : Probe in Loft\n',
        'device P-2 : Probe in Loft\ndevice P-3 : Probe in Loft\n',
      ),
    );
    expect(result.devices).toEqual(['P-3']);
    expect(result.left.map(({ line }) => line)).toEqual([2]);
  });
});

describe('a client that can', () => {
  const asked = async (method: string) => {
    await expect.poll(() => client.asked, { timeout: 5000 }).toContain(method);
  };

  it('is asked to refresh what other files show', async () => {
    await start({
      workspace: {
        codeLens: { refreshSupport: true },
        inlayHint: { refreshSupport: true },
        semanticTokens: { refreshSupport: true },
      },
    });
    client.asked.length = 0;
    await client.edit('rooms.ferrule', files['rooms.ferrule'].replace('4 m', '9 m'));
    await asked('workspace/codeLens/refresh');
    await asked('workspace/inlayHint/refresh');
    await asked('workspace/semanticTokens/refresh');
  });

  it('is told of a long first check', async () => {
    const many = Object.fromEntries(
      Array.from({ length: 60 }, (_, index) => [
        `many/cable-${index}.ferrule`,
        `cable C-${index} { cores 2 x 1 mm2 }\n`,
      ]),
    );
    await start({ window: { workDoneProgress: true } }, many);
    expect(client.asked).toContain('window/workDoneProgress/create');
  });

  it('is asked nothing where it cannot', async () => {
    await start();
    await client.edit('rooms.ferrule', files['rooms.ferrule'].replace('4 m', '9 m'));
    await new Promise((done) => setTimeout(done, 400));
    expect(client.asked).toEqual([]);
  });
});

describe('a request that was taken back', () => {
  it('is answered as such', async () => {
    await start();
    const { CancellationTokenSource } = await import('vscode-languageserver/node.js');
    const source = new CancellationTokenSource();
    const answer = client.connection.sendRequest(
      'ferrule/pack',
      { uri: client.uri('mill.ferrule') },
      source.token,
    );
    source.cancel();
    await expect(answer).rejects.toMatchObject({ code: -32800 });
  });
});
