import { randomBytes } from 'node:crypto';
import { env, type TextEditor, Uri, type WebviewPanel, window, workspace } from 'vscode';
import type { DrawingResult, DrawingView, Subject, TextPlace } from '../../../server/protocol.js';
import type { Server } from '../../server.js';
import { texts } from '../../texts.js';
import { Debouncer } from './debouncer.js';
import { Latest } from './latest.js';
import type { HighlightedSubject, PictureMessage, Target, ToHost, ToPage } from './messages.js';
import { openText } from './open-text.js';
import { pageHtml } from './page.js';

const cursorDelayMs = 80;

/** One drawing beside the text: asks the server, hands the picture to the page, follows the cursor. */
export class DrawingPanel {
  private readonly webview: WebviewPanel;
  private target: Target;
  private readonly server: Server;
  private readonly edits = new Debouncer();
  private readonly cursor = new Debouncer();
  private readonly drawings = new Latest();
  private readonly subjects = new Latest();
  private pageIsReady = false;
  private revision = 0;
  private picture: PictureMessage | undefined;
  private highlighted: HighlightedSubject | null = null;
  /** The banner speaks of another file than the picture. */
  private isAway = false;
  /** Something changed while nobody could see the page. */
  private isStale = false;

  constructor(webview: WebviewPanel, target: Target, server: Server, extension: Uri) {
    this.webview = webview;
    this.target = target;
    this.server = server;
    webview.iconPath = iconOf(target.view, extension);
    webview.webview.onDidReceiveMessage((message: ToHost) => this.receive(message));
    webview.onDidChangeViewState(() => {
      // A hidden page is unloaded and says that it is ready when it is shown again.
      this.pageIsReady &&= webview.visible;
    });
    webview.onDidDispose(() => this.stop());
    webview.webview.html = this.html(extension);
    this.refresh();
  }

  reveal(): void {
    this.webview.reveal(undefined, true);
  }

  dispose(): void {
    this.webview.dispose();
  }

  /** The texts of some sites were checked again. */
  textChanged(uris: string[]): void {
    const own = Uri.parse(this.target.uri).toString();
    if (uris.some((uri) => Uri.parse(uri).toString() === own)) {
      const delayMs = workspace.getConfiguration('ferrule').get('drawing.delay', 150);
      this.edits.run(delayMs, () => this.refresh());
    }
  }

  /** Draws again what is shown. */
  refresh(): void {
    void this.draw(this.target);
  }

  /** Shows what the cursor is in: its site, in the terminals view its bus or feed, and the device. */
  follow(editor: TextEditor): void {
    this.cursor.run(cursorDelayMs, () => void this.followTo(editor));
  }

  private async followTo(editor: TextEditor): Promise<void> {
    const uri = editor.document.uri.toString();
    const { line, character } = editor.selection.active;
    const answer = await this.subjects.ask(async (token) => ({
      subject: await this.server
        .request('ferrule/subjectAt', { uri, position: { line, character } }, token)
        .catch(() => null),
    }));
    if (answer === undefined) {
      return;
    }
    const wanted = this.targetAt(uri, answer.subject?.run);
    if (wanted !== undefined) {
      await this.draw(wanted);
    }
    this.highlight(answer.subject);
  }

  /** What to draw instead when the cursor is in that file and run; undefined: what is shown is right. */
  private targetAt(uri: string, run: string | undefined): Target | undefined {
    if (this.target.view === 'topology') {
      return uri === this.target.uri && !this.isAway ? undefined : { view: 'topology', uri };
    }
    const isShown = uri === this.target.uri && run === this.target.of;
    return run === undefined || isShown ? undefined : { view: 'terminals', uri, of: run };
  }

  private async draw(target: Target): Promise<void> {
    if (!this.webview.visible) {
      this.target = target;
      this.isStale = true;
      return;
    }
    const result = await this.drawings.ask((token) =>
      this.server
        .request('ferrule/drawing', target, token)
        .catch(() => ({ ...nothing, problem: texts.drawingFailed() })),
    );
    if (result === undefined) {
      return;
    }
    const isPictureShown = typeof this.picture?.svg === 'string';
    this.isAway = target.uri !== this.target.uri && result.svg === null && isPictureShown;
    if (this.isAway) {
      this.show({ ...nothing, problem: result.problem ?? texts.nothingToDrawIn(nameOf(target)) });
    } else {
      this.target = { view: target.view, uri: target.uri, of: result.of ?? target.of };
      this.show(result);
    }
  }

  private show(result: DrawingResult): void {
    const { svg, problem, subjects, findings } = result;
    const title = result.title || (this.picture?.title ?? '');
    this.revision += 1;
    const message: PictureMessage = {
      type: 'picture',
      revision: this.revision,
      key: [this.target.view, result.site ?? this.target.uri, this.target.of ?? ''].join(' '),
      target: this.target,
      title,
      svg,
      problem,
      subjects,
      findings,
    };
    this.post(message);
    // A page that is loaded again gets the last good picture together with what is wrong now.
    this.picture = svg === null && this.picture?.svg ? { ...this.picture, problem } : message;
    if (title !== '') {
      this.webview.title = title;
    }
  }

  private highlight(subject: Subject | null): void {
    if (subject?.place !== this.highlighted?.place || subject?.name !== this.highlighted?.name) {
      this.highlighted = subject && { place: subject.place, name: subject.name };
      this.post({ type: 'highlight', subject: this.highlighted });
    }
  }

  private post(message: ToPage): void {
    if (this.pageIsReady) {
      void this.webview.webview.postMessage(message);
    }
  }

  private receive(message: ToHost): void {
    switch (message.type) {
      case 'ready':
        this.pageIsReady = true;
        if (this.picture !== undefined) {
          this.post(this.picture);
        }
        this.post({ type: 'highlight', subject: this.highlighted });
        if (this.isStale) {
          this.isStale = false;
          this.refresh();
        }
        break;
      case 'shown':
        break;
      case 'open':
        void this.open(message.place);
        break;
      case 'openFinding': {
        const finding = this.picture?.findings?.find((each) => each.number === message.number);
        if (finding !== undefined && message.revision === this.picture?.revision) {
          void this.openAt(finding);
        }
        break;
      }
    }
  }

  private async open(place: string): Promise<void> {
    const found = await this.server
      .request('ferrule/locate', { uri: this.target.uri, place })
      .catch(() => null);
    await this.openAt(found);
  }

  private async openAt(place: TextPlace | null): Promise<void> {
    if (place === null) {
      window.setStatusBarMessage(texts.placeGone(), 5000);
      return;
    }
    await openText(place, this.webview.viewColumn);
  }

  private html(extension: Uri): string {
    const { webview } = this.webview;
    const file = (name: string) =>
      webview.asWebviewUri(Uri.joinPath(extension, 'dist', 'webview', name)).toString();
    return pageHtml({
      title: this.webview.title,
      nonce: randomBytes(16).toString('base64'),
      script: file('drawing.js'),
      style: file('drawing.css'),
      cspSource: webview.cspSource,
      language: env.language,
    });
  }

  private stop(): void {
    this.drawings.cancel();
    this.subjects.cancel();
    this.edits.cancel();
    this.cursor.cancel();
    this.pageIsReady = false;
  }
}

const nothing: DrawingResult = { revision: 0, title: '', svg: null };

function iconOf(view: DrawingView, extension: Uri): { light: Uri; dark: Uri } {
  const name = view === 'topology' ? 'drawing' : 'terminals';
  return {
    light: Uri.joinPath(extension, 'icons', `${name}-light.svg`),
    dark: Uri.joinPath(extension, 'icons', `${name}-dark.svg`),
  };
}

function nameOf(target: Target): string {
  return target.uri.slice(target.uri.lastIndexOf('/') + 1);
}
