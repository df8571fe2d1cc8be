import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import esbuild from 'esbuild';
import { type Browser, chromium, type Page } from 'playwright-core';
import { inProject } from '../../scripts/lib/root.mjs';
import type { PageState, ToHost, ToPage } from '../../src/extension/features/drawing/messages.js';
import { pageHtml } from '../../src/extension/features/drawing/page.js';

/** One browser and one address for all pages of a test file. */
export async function startBrowser() {
  const server = await serve();
  const { port } = server.address() as AddressInfo;
  const browser = await chromium.launch({
    executablePath: process.env['CHROMIUM'] ?? '/usr/bin/chromium',
    args: ['--no-sandbox', '--disable-gpu', '--disable-background-networking'],
  });
  return {
    open: () => BarePage.open(browser, `http://127.0.0.1:${port}/`),
    async stop() {
      await browser.close();
      server.close();
    },
  };
}

/** The drawing's page in a browser without an editor: the tests are the other end of its line. */
export class BarePage {
  /** What broke the page's policy, or was thrown in it. */
  readonly complaints: string[] = [];
  /** Where the page asked for anything. */
  readonly requests: string[] = [];

  private constructor(readonly page: Page) {}

  static async open(browser: Browser, url: string): Promise<BarePage> {
    const page = await browser.newPage({ viewport: { width: 800, height: 600 } });
    page.setDefaultTimeout(10_000);
    const bare = new BarePage(page);
    page.on('pageerror', (error) => bare.complaints.push(error.message));
    page.on('console', (line) => {
      if (line.type() === 'error') {
        bare.complaints.push(line.text());
      }
    });
    page.on('request', (request) => bare.requests.push(request.url()));
    await page.addInitScript(fakeEditor);
    await page.goto(url);
    await bare.message('ready');
    return bare;
  }

  async close(): Promise<void> {
    await this.page.close();
  }

  async send(message: ToPage): Promise<void> {
    await this.page.evaluate((data) => window.postMessage(data, '*'), message);
    if (message.type === 'picture' && message.svg !== null) {
      // The page tells when it is shown; a late picture is never shown and needs its own wait.
      await this.page.evaluate(
        () => new Promise((done) => requestAnimationFrame(() => done(null))),
      );
    }
  }

  /** What the page has said since the last call. */
  async messages(): Promise<ToHost[]> {
    return this.page.evaluate(() => window.fakeEditor.messages.splice(0));
  }

  /** Waits until the page has said something of that type, and forgets what was said. */
  async message<Type extends ToHost['type']>(type: Type): Promise<Extract<ToHost, { type: Type }>> {
    await this.page.waitForFunction(
      (wanted) => window.fakeEditor.messages.some((message) => message.type === wanted),
      type,
    );
    const found = (await this.messages()).find((message) => message.type === type);
    return found as Extract<ToHost, { type: Type }>;
  }

  async state(): Promise<PageState> {
    return this.page.evaluate(() => window.fakeEditor.state());
  }

  /** Where an element of the picture stands on the screen. */
  async boxOf(selector: string) {
    const box = await this.page.locator(selector).first().boundingBox();
    if (box === null) {
      throw new Error(`${selector} is not to be seen.`);
    }
    return box;
  }
}

declare global {
  interface Window {
    fakeEditor: { messages: ToHost[]; state(): PageState };
  }
}

/** Runs in the page before its own script; the state outlives a reload as it does in the editor. */
function fakeEditor(): void {
  const read = () => JSON.parse(sessionStorage.getItem('state') ?? 'null');
  window.fakeEditor = { messages: [], state: read };
  Object.assign(window, {
    acquireVsCodeApi: () => ({
      postMessage: (message: ToHost) => window.fakeEditor.messages.push(message),
      getState: () => read() ?? undefined,
      setState: (state: PageState) => sessionStorage.setItem('state', JSON.stringify(state)),
    }),
  });
}

/** The page as the extension makes it, with its policy, from this computer only. */
async function serve(): Promise<Server> {
  const built = await esbuild.build({
    absWorkingDir: inProject(),
    bundle: true,
    entryPoints: ['src/extension/features/drawing/webview/main.ts'],
    outfile: 'drawing.js',
    format: 'iife',
    target: 'es2022',
    write: false,
  });
  const fileEnding = (ending: string) =>
    built.outputFiles.find((file) => file.path.endsWith(ending))?.text ?? '';
  const server = createServer((request, response) => {
    const { port } = server.address() as AddressInfo;
    const answers: Record<string, [type: string, text: string]> = {
      '/drawing.js': ['text/javascript', fileEnding('.js')],
      '/drawing.css': ['text/css', fileEnding('.css')],
      '/': [
        'text/html',
        pageHtml({
          title: 'Ferrule',
          nonce: 'test',
          script: '/drawing.js',
          style: '/drawing.css',
          cspSource: `http://127.0.0.1:${port}`,
          language: 'en',
        }),
      ],
    };
    const [type, text] = answers[request.url ?? ''] ?? ['text/plain', ''];
    response.writeHead(request.url === '/favicon.ico' ? 204 : 200, {
      'content-type': `${type}; charset=utf-8`,
    });
    response.end(text);
  });
  await new Promise<void>((listening) => server.listen(0, '127.0.0.1', listening));
  return server;
}
