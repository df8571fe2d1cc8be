/** Requests that help to write a site of three files: links, equipment and the site itself. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type {
  CompletionItem,
  CompletionList,
  Hover,
  MarkupContent,
  Range,
  SemanticTokens,
  SemanticTokensDelta,
  SignatureHelp,
} from 'vscode-languageserver/node.js';
import { applied, TestClient } from '../support/lsp.js';

const links = `/// Two-wire link of a floor.
bustype FloorLink {
  conductors 2
  shape chain
  length total 400 m
  address 1 .. 64
  controllers 2
  cable 0.75 mm2 .. 1.5 mm2
  terminate both-ends 120 ohm
}

cable Pair "2-core 0.75 mm2" {
  cores 2 x 0.75 mm2 class 5
}
`;

const equipment = `use "./links.ferrule"

/// Serves one room.
equipment FanUnit "Fan unit 3 kW" {
  role indoor-unit
  inlet mains 230 VAC 0.4 A terminals L, N
  port link : FloorLink terminals A, B as responder
}

equipment Panel "Floor panel" {
  role zone-controller
  inlet mains 230 VAC 0.1 A terminals L, N
  port link : FloorLink terminals A, B as controller
  supervises indoor-unit via link up to 32
}
`;

const spare = `use "./links.ferrule"

equipment WindowUnit "Window unit" {
  role indoor-unit
  port link : FloorLink terminals A, B as responder
}
`;

const site = `use "./equipment.ferrule"

site Mill "Mill House"

area Ground level 0 m {
  room Hall at 4 m, 3 m
  room Office at 12 m, 3 m
}

board DB-1 in Hall {
  way W1 230 VAC 10 A curve B "Units"
}

device FP-1 : Panel in Hall { address 1  inlet mains from DB-1.W1 }
device FU-1 : FanUnit in Hall { address 2  inlet mains from DB-1.W1 }
device FU-2 : FanUnit in Office { address 3  inlet mains from DB-1.W1 }

bus floor : FloorLink using Pair {
  land FP-1.link terminated
  land FU-1.link 14 m
  land FU-2.link 11 m terminated
}
`;

const capabilities = {
  textDocument: { completion: { completionItem: { snippetSupport: true } } },
  workspace: {
    codeLens: { refreshSupport: true },
    inlayHint: { refreshSupport: true },
    semanticTokens: { refreshSupport: true },
  },
};

let client: TestClient;

beforeAll(async () => {
  client = await TestClient.start(
    {
      'mill.ferrule': site,
      'equipment.ferrule': equipment,
      'links.ferrule': links,
      'more/spare.ferrule': spare.replace('./links', '../links'),
    },
    capabilities,
  );
});
afterAll(() => client.stop());

/** Opens the site with a text at `|`, which marks the cursor. */
async function open(marked: string): Promise<void> {
  const offset = marked.indexOf('|');
  await client.edit('mill.ferrule', offset < 0 ? marked : marked.replace('|', ''));
  const before = marked.slice(0, Math.max(0, offset));
  cursor = {
    line: before.split('\n').length - 1,
    character: before.length - (before.lastIndexOf('\n') + 1),
  };
}
let cursor = { line: 0, character: 0 };

const here = <Result>(method: string, more: object = {}) =>
  client.connection.sendRequest<Result>(method, {
    textDocument: { uri: client.uri('mill.ferrule') },
    position: cursor,
    ...more,
  });

async function completed(marked: string): Promise<CompletionItem[]> {
  await open(marked);
  return (await here<CompletionList>('textDocument/completion')).items;
}

const find = (items: readonly CompletionItem[], label: string): CompletionItem => {
  const item = items.find((one) => one.label === label);
  if (item === undefined) {
    throw new Error(`"${label}" is not among ${items.map((one) => one.label).join(', ')}`);
  }
  return item;
};

const newText = (item: CompletionItem) => (item.textEdit as { newText: string }).newText;

describe('completion while a site is written', () => {
  it('writes a device with room, next free address and a way that fits', async () => {
    const items = await completed(`${site}|`);
    expect(newText(find(items, 'device FU-3 : FanUnit'))).toBe(
      String.raw`device ${'$'}{1:FU-3} : FanUnit in ${'$'}{2:Office} { address ${'$'}{3:4}  inlet mains from ${'$'}{4:DB-1.W1} \}`,
    );
  });

  it('gives a new device what its equipment needs when the equipment is chosen', async () => {
    const items = await completed(`${site}device FU-3 : |\n`);
    expect(newText(find(items, 'FanUnit'))).toContain('FanUnit in ${1:Office} { address ${2:4}');
  });

  it('offers no tab stops to a client that knows none', async () => {
    const plain = await TestClient.start({
      'mill.ferrule': site,
      'equipment.ferrule': equipment,
      'links.ferrule': links,
    });
    await plain.edit('mill.ferrule', `${site}\n`);
    const list = await plain.connection.sendRequest<CompletionList>('textDocument/completion', {
      textDocument: { uri: plain.uri('mill.ferrule') },
      position: { line: site.split('\n').length - 1, character: 0 },
    });
    expect(list.items.map((item) => item.insertTextFormat)).not.toContain(2);
    expect(list.items.map((item) => item.label)).toContain('device');
    await plain.stop();
  });

  it('writes a bus with its first landings terminated at both ends', async () => {
    const devices = site.slice(0, site.indexOf('bus floor'));
    const items = await completed(`${devices}|`);
    expect(newText(find(items, 'bus floorlink : FloorLink'))).toBe(
      'bus ${1:floorlink} : FloorLink using ${2:Pair} {\n  land FP-1.link terminated\n  land FU-1.link terminated\n\\}',
    );
  });

  it('moves the terminator on when a chain is continued', async () => {
    const longer = site.replace(
      'bus floor',
      'device FU-3 : FanUnit in Office { address 4  inlet mains from DB-1.W1 }\n\nbus floor',
    );
    const items = await completed(longer.replace('11 m terminated\n', '11 m terminated\n  |\n'));
    const item = find(items, 'land FU-3.link');
    const { range } = item.textEdit as { range: Range };
    const text = applied(client.textOf('mill.ferrule'), [
      { range, newText: newText(item) },
      ...item.additionalTextEdits!,
    ]);
    expect(text).toContain('  land FU-2.link 11 m\n  land FU-3.link terminated\n');
    await client.edit('mill.ferrule', text);
    expect(
      client.problems('mill.ferrule').filter((one) => !one.endsWith('length-estimated')),
    ).toEqual([]);
  });

  it('shows taken addresses behind the free ones, with their owner', async () => {
    const items = await completed(site.replace('Office { address 3', 'Office { address |'));
    expect(items.slice(0, 2).map((item) => [item.label, item.detail])).toEqual([
      ['3', 'next free address'],
      ['4', 'free address'],
    ]);
    expect(find(items, '2').detail).toBe('taken by FU-1');
    expect(items.indexOf(find(items, '2'))).toBeGreaterThan(items.indexOf(find(items, '4')));
  });

  it('takes equipment of a file that is not used yet, with its line', async () => {
    const items = await completed(`${site}device WU-1 : Wind|\n`);
    const item = find(items, 'WindowUnit');
    expect(item.labelDetails?.description).toBe('./more/spare.ferrule');
    const text = applied(client.textOf('mill.ferrule'), item.additionalTextEdits!);
    expect(text).toMatch(/^use "\.\/equipment\.ferrule"\nuse "\.\/more\/spare\.ferrule"\n/u);
  });

  it('offers the units that the slot takes, and no others', async () => {
    expect((await completed(site.replace('14 m', '14 |'))).map((item) => item.label)).toEqual(
      expect.arrayContaining(['m', 'mm', 'inch', 'ft']),
    );
    const volts = await completed(site.replace('230 VAC 10 A', '230 | 10 A'));
    expect(volts.map((item) => item.label)).toEqual(expect.arrayContaining(['VAC', 'VDC', 'A']));
    expect(volts.map((item) => item.label)).not.toContain('m');
    const total = await completed(site.replace('level 0 m', 'level 0 |'));
    expect(total.map((item) => item.label)).not.toContain('V');
  });

  it('says where things stand, and describes them on request', async () => {
    const items = await completed(site.replace('land FU-2.link 11 m', 'land |'));
    const item = find(items, 'FU-2.link');
    expect(item.labelDetails).toEqual({ detail: '  FloorLink', description: 'Ground.Office' });
    const [unit] = (await completed(`${site}device FU-3 : Fan|\n`)).slice(0, 1);
    const resolved = await client.connection.sendRequest<CompletionItem>(
      'completionItem/resolve',
      unit,
    );
    expect(JSON.stringify(resolved.documentation)).toContain('Serves one room.');
  });
});

describe('help while a device is written', () => {
  const help = async (marked: string) => {
    await open(marked);
    return here<SignatureHelp | null>('textDocument/signatureHelp');
  };

  it('shows what the equipment needs and what is met', async () => {
    const found = await help(`${site}device FU-3 : FanUnit in Hall { address | }\n`);
    const [signature] = found!.signatures;
    expect(signature!.label).toBe(
      'FanUnit: address 1 .. 64, inlet mains 230 VAC 0.4 A, link : FloorLink',
    );
    expect(found!.activeParameter).toBe(0);
    expect(signature!.parameters![1]!.documentation).toMatch(
      /^Nothing feeds it yet; DB-1\.W1 fits/u,
    );
    expect(signature!.parameters![2]!.documentation).toContain('on no bus yet');
  });

  it('follows the statement', async () => {
    const found = await help(site.replace('{ address 3  inlet mains', '{ address 3  inlet mains|'));
    expect(found!.activeParameter).toBe(1);
    expect(found!.signatures[0]!.parameters![1]!.documentation).toBe('Fed from DB-1.W1.');
  });

  it('is silent elsewhere', async () => {
    expect(await help(site.replace('land FU-1.link', 'land FU-1.link|'))).toBeNull();
  });
});

describe('colours by meaning', () => {
  const decoded = async (): Promise<string[]> => {
    const { data } = await here<SemanticTokens>('textDocument/semanticTokens/full');
    const lines = client.textOf('mill.ferrule').split('\n');
    const found: string[] = [];
    let line = 0;
    let character = 0;
    for (let at = 0; at < data.length; at += 5) {
      line += data[at]!;
      character = data[at]! === 0 ? character + data[at + 1]! : data[at + 1]!;
      const text = lines[line]!.slice(character, character + data[at + 2]!);
      found.push(`${text} ${data[at + 3]} ${data[at + 4]}`);
    }
    return found;
  };

  it('tell names by what they stand for', async () => {
    await open(site);
    const tokens = await decoded();
    expect(tokens).toContain('FU-1 3 1');
    expect(tokens).toContain('FanUnit 2 0');
    expect(tokens).toContain('Hall 0 1');
    expect(tokens).toContain('link 6 0');
    expect(tokens).toContain('B 7 0');
  });

  it('are told after an edit as what differs, and come to the same', async () => {
    await open(site);
    const whole = await here<SemanticTokens>('textDocument/semanticTokens/full');
    let data = whole.data;
    let previousResultId = whole.resultId!;
    for (const text of [
      site.replace('FU-1.link 14 m', 'FU-11.link 14 m'),
      site.replace('device FU-1', '\n\ndevice FU-1'),
      site.replace(/bus floor[^]*/u, ''),
      site,
    ]) {
      await open(text);
      const found = await here<SemanticTokensDelta>('textDocument/semanticTokens/full/delta', {
        previousResultId,
      });
      expect(found.edits.length).toBeGreaterThan(0);
      for (const { start, deleteCount, data: put = [] } of found.edits) {
        data = [...data.slice(0, start), ...put, ...data.slice(start + deleteCount)];
      }
      previousResultId = found.resultId!;
      const fresh = await here<SemanticTokens>('textDocument/semanticTokens/range', {
        range: { start: { line: 0, character: 0 }, end: { line: 9999, character: 0 } },
      });
      expect(data).toEqual(fresh.data);
    }
  });

  it('mark what is deprecated and what is unused', async () => {
    await open(
      `${site.replace('device FP-1', 'equipment Old {\n  role sensor\n  deprecated "too slow"\n}\n\ncable Left { cores 2 x 1 mm2 }\n\ndevice S-1 : Old in Hall\n\ndevice FP-1')}`,
    );
    const tokens = await decoded();
    expect(tokens).toContain('Old 2 3');
    expect(tokens).toContain('Old 2 2');
    expect(tokens).toContain('Left 1 5');
    const diagnostics = client.diagnosticsOf('mill.ferrule');
    expect(diagnostics.find((one) => one.code === 'template-unused')?.tags).toEqual([1]);
    expect(diagnostics.find((one) => one.code === 'template-deprecated')?.tags).toEqual([2]);
  });
});

describe('hover', () => {
  const hovered = async (marked: string) => {
    await open(marked);
    const found = await here<Hover | null>('textDocument/hover');
    return (found?.contents as MarkupContent | undefined)?.value ?? '';
  };

  it('says what the equipment states, where it is landed and from where it is fed', async () => {
    expect(await hovered(site.replace('land FU-1.link', 'land FU-1.li|nk'))).toBe(
      '**FU-1.link**, a port\n\nStated by FanUnit: `port link : FloorLink terminals A, B as responder`\n\nLanded on floor, 2 of 3.',
    );
    const inlet = await hovered(site.replace('address 2  inlet mains', 'address 2  inlet ma|ins'));
    expect(inlet).toContain('Stated by FanUnit: `inlet mains 230 VAC 0.4 A terminals L, N`');
  });

  it('says where a value came from, and what in it is estimated', async () => {
    const stated = await hovered(site.replace('bus floor', 'bus fl|oor'));
    expect(stated).toContain('total-length: 25 m of 400 m, margin 94 % (computed)');
    const estimated = await hovered(
      site.replace('bus floor', 'bus fl|oor').replace('FU-1.link 14 m', 'FU-1.link'),
    );
    expect(estimated).toMatch(
      /total-length: [\d.]+ m of 400 m, margin \d+ % \((?:computed; )?estimated/u,
    );
  });

  it('shows the waiver in force, and what somebody saw', async () => {
    const waived = `${site.replace('11 m terminated', '11 m').replace('bus floor', 'bus fl|oor')}
accept terminator-missing on floor because "on order" until 2099-03-31
observed floor measures 120 ohm power-off on 2026-11-20
observed FP-1 finds 2 on 2026-11-20
`;
    const bus = await hovered(waived);
    expect(bus).toContain('Measured on 2026-11-20: 120 ohm.');
    expect(bus).toContain('Accepted: terminator-missing, because on order, until 2099-03-31.');
    const panel = await client.connection.sendRequest<{ text: string }>('ferrule/describe', {
      uri: client.uri('mill.ferrule'),
      name: 'FP-1',
    });
    expect(panel.text).toContain('finds: 2 of 32');
    expect(panel.text).toContain('Seen on 2026-11-20: it found 2.');
  });
});

describe('pages', () => {
  it('of a rule stand behind its code', async () => {
    await open(site.replace('address 3', 'address 2'));
    const diagnostic = client.diagnosticsOf('mill.ferrule')[0]!;
    const page = await client.connection.sendRequest<{ text: string }>('ferrule/document', {
      uri: diagnostic.codeDescription!.href,
    });
    expect(page.text).toContain('# address-duplicate');
  });

  it('of a value show its calculation', async () => {
    await open(site);
    const root = encodeURIComponent(client.uri('mill.ferrule'));
    const page = await client.connection.sendRequest<{ text: string }>('ferrule/document', {
      uri: `ferrule-doc:/value/floor.total-length.md?${root}`,
    });
    expect(page.text).toContain('25 m');
    const none = await client.connection.sendRequest<{ text: null; problem: string }>(
      'ferrule/document',
      { uri: 'ferrule-doc:/rule/nothing.md' },
    );
    expect(none).toEqual({ text: null, problem: 'There is no rule "nothing".' });
  });
});
