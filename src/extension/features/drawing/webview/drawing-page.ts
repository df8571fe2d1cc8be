import type { DrawnFinding } from '../../../../server/protocol.js';
import type { Camera, HighlightedSubject, PictureMessage, ToPage } from '../messages.js';
import type { Channel } from './channel.js';
import { element } from './elements.js';
import { FindingsList } from './findings-list.js';
import { Keyboard } from './keyboard.js';
import { Picture } from './picture.js';
import { texts } from './texts.js';
import { Viewport } from './viewport.js';

/** More pictures than that are not remembered; the oldest are forgotten. */
const mostCameras = 20;

/** Builds the page and keeps it in step with what the extension says. */
export class DrawingPage {
  private readonly channel: Channel;
  private readonly title = element('h1', {});
  private readonly banner = element('p', { class: 'banner', role: 'status' });
  private readonly placeholder = element('p', { class: 'placeholder' }, texts.loading);
  private readonly stage = element('div', {
    class: 'stage',
    tabindex: '0',
    role: 'application',
    'aria-roledescription': texts.stageRole,
    'aria-describedby': 'help',
  });
  private readonly canvas = element('div', { class: 'canvas' });
  private readonly root = this.canvas.attachShadow({ mode: 'open' });
  private readonly findings = new FindingsList((finding) => this.openFinding(finding));
  private readonly viewport = new Viewport(this.stage, (camera) => this.remember(camera));
  private readonly keyboard = new Keyboard(this.stage, this.root, {
    open: (place) => this.channel.post({ type: 'open', place }),
    findingPlaces: () => (this.shown?.findings ?? []).flatMap(({ place }) => place ?? []),
    focused: (place) => this.focused(place),
  });
  private readonly cameras: Map<string, Camera>;
  private picture: Picture | undefined;
  /** The message whose picture stands on the stage. */
  private shown: PictureMessage | undefined;
  private highlighted: HighlightedSubject | null = null;
  private latest = 0;

  constructor(body: HTMLElement, channel: Channel) {
    this.channel = channel;
    this.cameras = new Map(channel.load().cameras);
    this.stage.append(this.canvas, this.placeholder);
    const help = element('p', { id: 'help', class: 'for-readers' }, texts.stageHelp);
    body.append(this.header(), this.banner, this.stage, help, this.findings.root);
    this.say(undefined);
    this.stage.addEventListener('click', (event) => this.onClick(event));
    new MutationObserver(() => this.picture?.followTheme()).observe(body, {
      attributeFilter: ['class'],
    });
    channel.onMessage((message) => this.receive(message));
    channel.post({ type: 'ready' });
  }

  private header(): HTMLElement {
    const zoom = element('div', { role: 'toolbar', 'aria-label': texts.toolbar });
    const button = (text: { face: string; name: string; keys: string }, act: () => void) => {
      const made = element(
        'button',
        { type: 'button', 'aria-label': text.name, title: `${text.name} (${text.keys})` },
        text.face,
      );
      made.addEventListener('click', act);
      zoom.append(made);
    };
    button(texts.zoomOut, () => this.viewport.zoomOut());
    button(texts.zoomIn, () => this.viewport.zoomIn());
    button(texts.actualSize, () => this.viewport.actualSize());
    button(texts.fit, () => this.viewport.fit());
    return element('header', {}, this.title, zoom);
  }

  private receive(message: ToPage): void {
    switch (message.type) {
      case 'picture':
        // A late answer must not overwrite a newer one.
        if (message.revision >= this.latest) {
          this.latest = message.revision;
          this.show(message);
        }
        break;
      case 'highlight':
        this.highlight(message.subject);
        break;
    }
  }

  private show(message: PictureMessage): void {
    const picture =
      message.svg === null ? undefined : Picture.read(message.svg, message.subjects ?? undefined);
    const problem =
      message.svg !== null && picture === undefined ? texts.unreadable : message.problem;
    if (picture === undefined) {
      this.keepOld(problem);
      return;
    }
    const restoreFocus = this.keyboard.change(picture);
    this.picture = picture;
    this.shown = message;
    picture.attachTo(this.root);
    this.viewport.show(picture.svg, picture.size, this.cameras.get(message.key));
    picture.mark('cursor', this.highlighted);
    restoreFocus();
    this.placeholder.hidden = true;
    this.stage.classList.remove('is-stale');
    this.title.textContent = message.title;
    this.stage.setAttribute('aria-label', message.title);
    this.findings.show(message.findings ?? []);
    this.say(problem);
    this.save();
    this.channel.post({ type: 'shown', revision: message.revision });
  }

  /** The last good picture stays, and says that it is old. */
  private keepOld(problem: string | undefined): void {
    if (this.picture === undefined) {
      this.placeholder.textContent = problem ?? texts.nothing;
      return;
    }
    this.stage.classList.add('is-stale');
    this.say(problem ?? texts.nothing);
  }

  private say(problem: string | undefined): void {
    this.banner.textContent = problem ?? '';
    this.banner.hidden = problem === undefined;
  }

  private highlight(subject: HighlightedSubject | null): void {
    this.highlighted = subject;
    this.viewport.reveal(this.picture?.mark('cursor', subject) ?? []);
  }

  private focused(place: string | null): void {
    this.viewport.reveal(this.picture?.mark('focus', place === null ? null : { place }) ?? []);
  }

  private onClick(event: MouseEvent): void {
    if (this.stage.classList.contains('is-dragging')) {
      return;
    }
    const place = event
      .composedPath()
      .map((target) => (target instanceof Element ? target.getAttribute('data-place') : null))
      .find((each) => each !== null);
    if (place !== undefined && place !== null) {
      this.channel.post({ type: 'open', place });
    }
  }

  private openFinding({ number, place }: DrawnFinding): void {
    const found = place === undefined ? undefined : this.picture?.elementAt(place);
    this.viewport.reveal(found === undefined ? [] : [found]);
    this.channel.post({ type: 'openFinding', revision: this.shown?.revision ?? 0, number });
  }

  private remember(camera: Camera | undefined): void {
    const key = this.shown?.key;
    if (key === undefined) {
      return;
    }
    this.cameras.delete(key);
    if (camera !== undefined) {
      this.cameras.set(key, camera);
    }
    this.save();
  }

  private save(): void {
    const target = this.shown?.target;
    const cameras = [...this.cameras].slice(-mostCameras);
    this.channel.save(target === undefined ? { cameras } : { target, cameras });
  }
}
