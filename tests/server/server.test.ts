/** The server over stdio, as an editor speaks to it. */
import { readFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type {
  CompletionList,
  DocumentSymbol,
  Hover,
  Location,
  TextEdit,
  WorkspaceEdit,
} from 'vscode-languageserver/node.js';
import { applied, TestClient } from '../support/lsp.js';

const common = readFileSync('src/rules/common.ferrule', 'utf8');

const right = `use "./common.ferrule"

site Mill "Mill House"

area Roof level 6 m {
  room Plant at 2 m, 2 m
}

area Ground level 0 m {
  room Hall at 4 m, 3 m
  room Office at 12 m, 3 m
}

board DB-1 in Plant {
  way W1 400 VAC three-phase 25 A curve C
  way W2 230 VAC 10 A curve B
}

device OU-1 : OutdoorUnit in Plant { address 1  inlet mains from DB-1.W1 }
device IU-1 : IndoorUnit in Hall { address 2  inlet mains from DB-1.W2 }
device IU-2 : IndoorUnit in Office { address 3  inlet mains from DB-1.W2 }
device RC-1 : WallController in Hall
device RC-2 : WallController in Office

bus link : UnitLink using ScreenedPair {
  land OU-1.field terminated bonded
  land IU-1.field 14 m
  land IU-2.field 11 m terminated
}

bus wall : WallLink using PlainPair {
  land IU-1.room
  land RC-1.link 5 m
}

bus wall-2 : WallLink using PlainPair {
  land IU-2.room
  land RC-2.link 5 m
}
`;

let client: TestClient;

beforeAll(async () => {
  client = await TestClient.start({ 'mill.ferrule': right, 'common.ferrule': common });
  await client.edit('common.ferrule', common);
});
afterAll(() => client.stop());

const open = (text = right) => client.edit('mill.ferrule', text);
const changed = (from: string, to: string) => right.replace(from, to);

describe('diagnostics', () => {
  it('are silent on a right site', async () => {
    await open();
    expect(client.problems('mill.ferrule')).toEqual([]);
  });

  it('reach a file that is not open', async () => {
    const other = await TestClient.start({
      'a.ferrule': 'site A\n\nuse "./b.ferrule"\n',
      'b.ferrule': 'area X {\n  lnad\n}\n',
    });
    expect(other.problems('b.ferrule')).toEqual(['2:3 syntax-error']);
    await other.stop();
  });

  it('come and go with an edit, in the file that has the fault', async () => {
    await open(changed('IU-2.field 11 m', 'IU-3.field 11 m'));
    expect(client.problems('mill.ferrule')).toContain('28:8 name-unknown');
    await open();
    expect(client.problems('mill.ferrule')).toEqual([]);
  });

  it('carry code, source, severity, and the other places', async () => {
    await open(`${right}device OU-1 : OutdoorUnit in Plant\n`);
    const diagnostic = client
      .diagnosticsOf('mill.ferrule')
      .find((one) => one.code === 'name-duplicate');
    expect(diagnostic).toMatchObject({ source: 'ferrule', severity: 1 });
    expect(diagnostic!.relatedInformation![0]!.location.range.start.line).toBe(18);
  });
});

describe('quick-fixes', () => {
  it('correct a mistyped name', async () => {
    await open(changed('land IU-2.field', 'land IU-2.feild'));
    const [fix] = await client.actions('mill.ferrule', 'feild');
    expect(fix!.title).toBe('Change to "field"');
    await client.apply(fix!.edit!);
    expect(client.textOf('mill.ferrule')).toBe(right);
  });

  it('add a missing unit', async () => {
    await open(changed('14 m', '14'));
    expect(client.problems('mill.ferrule')).toContain('27:19 quantity-unit-mismatch');
    const [fix] = await client.actions('mill.ferrule', '14');
    await client.apply(fix!.edit!);
    expect(client.textOf('mill.ferrule')).toBe(right);
  });

  it('give the next free address', async () => {
    await open(changed('address 3  ', ''));
    const fixes = await client.actions('mill.ferrule', 'IU-2');
    const fix = fixes.find((one) => one.title.includes('address 3'));
    expect(fixes.map((one) => one.title)).toContain(fix?.title);
    await client.apply(fix!.edit!);
    expect(client.problems('mill.ferrule')).toEqual([]);
  });

  it('put a terminator back to the bare end', async () => {
    await open(changed('11 m terminated', '11 m'));
    const fixes = await client.actions('mill.ferrule', 'land IU-2.field');
    await client.apply(fixes[0]!.edit!);
    expect(client.textOf('mill.ferrule')).toBe(right);
  });
});

describe('completion', () => {
  const labels = async (text: string, needle: string): Promise<string[]> => {
    await open(text);
    const list = await client.at<CompletionList>(
      'textDocument/completion',
      'mill.ferrule',
      needle,
      'behind',
    );
    return list.items.map((item) => item.label);
  };

  it('offers ports of the right bus type that are landed nowhere', async () => {
    const text = `${right}device IU-9 : IndoorUnit in Hall { address 9 }\n`.replace(
      'land IU-2.field 11 m',
      'land IU-2.field 11 m\n  land ',
    );
    const found = await labels(text, '11 m\n  land ');
    expect(found[0]).toBe('IU-9.field');
    expect(found).not.toContain('IU-9.room');
    expect(found).not.toContain('OU-1.field');
  });

  it('offers the next free address first', async () => {
    expect((await labels(changed('{ address 3 ', '{ address '), 'in Office { address '))[0]).toBe(
      '3',
    );
  });

  it('offers declarations at the start of a line', async () => {
    const found = await labels(`${right}\n`, 'land RC-2.link 5 m\n}\n');
    expect(found).toContain('device');
    expect(found).not.toContain('terminated');
  });

  it('offers flags behind a landing', async () => {
    const found = await labels(changed('14 m', '14 m '), '14 m ');
    expect(found).toEqual(expect.arrayContaining(['terminated', 'bonded', 'covered', 'using']));
  });

  it('offers the values of a slot', async () => {
    expect(await labels(`${right}equipment X {\n  role \n}\n`, '  role ')).toContain('indoor-unit');
  });

  it('is silent in texts and comments', async () => {
    expect(await labels(changed('"Mill House"', '"Mill "'), '"Mill ')).toEqual([]);
  });
});

describe('names', () => {
  it('lead to their declaration, in another file too', async () => {
    await open();
    const port = await client.at<Location>(
      'textDocument/definition',
      'mill.ferrule',
      'field terminated',
    );
    expect(port.uri).toBe(client.uri('common.ferrule'));
    const device = await client.at<Location>(
      'textDocument/definition',
      'mill.ferrule',
      'IU-1.field',
    );
    expect(device).toMatchObject({
      uri: client.uri('mill.ferrule'),
      range: { start: { line: 19, character: 7 } },
    });
  });

  it('know where they are used', async () => {
    await open();
    const uses = await client.at<Location[]>(
      'textDocument/references',
      'mill.ferrule',
      'IU-1',
      'at',
      {
        context: { includeDeclaration: true },
      },
    );
    expect(uses.map((use) => use.range.start.line + 1).sort((a, b) => a - b)).toEqual([20, 27, 32]);
  });

  it('are changed everywhere', async () => {
    await open(`${right}observed RC-1 misses IU-1 on 2026-11-20\n`);
    const edit = await client.at<WorkspaceEdit>(
      'textDocument/rename',
      'mill.ferrule',
      'IU-1',
      'at',
      { newName: 'IU-10' },
    );
    const text = applied(
      client.textOf('mill.ferrule'),
      edit.changes![client.uri('mill.ferrule')] as TextEdit[],
    );
    expect(text).not.toMatch(/IU-1\b(?!0)/u);
    expect(text.match(/IU-10/gu)).toHaveLength(4);
  });

  it('are not changed to bad or taken names', async () => {
    await open();
    const rename = (newName: string) =>
      client.at('textDocument/rename', 'mill.ferrule', 'IU-1', 'at', { newName });
    await expect(rename('9 units')).rejects.toThrow('is not a name');
    await expect(rename('OU-1')).rejects.toThrow('already the name');
  });
});

describe('reading', () => {
  it('shows computed values in a hover', async () => {
    await open();
    const bus = await client.at<Hover>('textDocument/hover', 'mill.ferrule', 'link : UnitLink');
    expect(JSON.stringify(bus.contents)).toMatch(/total-length: 25 m of 200 m/u);
    const controller = await client.at<Hover>('textDocument/hover', 'mill.ferrule', 'RC-1.link');
    expect(JSON.stringify(controller.contents)).toMatch(/finds: 1/u);
  });

  it('lists declarations and their parts', async () => {
    await open();
    const symbols = await client.connection.sendRequest<DocumentSymbol[]>(
      'textDocument/documentSymbol',
      {
        textDocument: { uri: client.uri('mill.ferrule') },
      },
    );
    const link = symbols.find((one) => one.name === 'link')!;
    expect(link.children!.map((one) => one.name)).toEqual([
      'OU-1.field',
      'IU-1.field',
      'IU-2.field',
    ]);
    expect(new Set(symbols.map((one) => one.kind)).size).toBeGreaterThan(4);
  });

  it('formats without losing a comment, and not while there is a syntax error', async () => {
    await open(
      changed('  land IU-1.field 14 m', '     land   IU-1.field   14m   // near the door'),
    );
    const format = () =>
      client.connection.sendRequest<TextEdit[]>('textDocument/formatting', {
        textDocument: { uri: client.uri('mill.ferrule') },
        options: { tabSize: 2, insertSpaces: true },
      });
    const text = applied(client.textOf('mill.ferrule'), await format());
    expect(text).toContain('\n  land IU-1.field 14 m  // near the door\n');
    await open(changed('  land IU-1.field 14 m', '  lnad'));
    expect(await format()).toEqual([]);
  });
});
