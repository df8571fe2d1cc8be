import type { Picture } from './picture.js';
import { type Step, stepFrom } from './walk.js';

const steps: Record<string, Step> = {
  ArrowRight: 'next',
  ArrowLeft: 'previous',
  ArrowUp: 'up',
  ArrowDown: 'down',
  PageDown: 'next-area',
  PageUp: 'previous-area',
  Home: 'first',
  End: 'last',
};

/** What the keys do, besides walking. */
export interface KeyActions {
  open(place: string): void;
  /** Places that carry a finding, in the order of their numbers. */
  findingPlaces(): string[];
  focused(place: string | null): void;
}

/** One element of the picture has the focus at a time; keys walk it along the wiring. */
export class Keyboard {
  private readonly stage: HTMLElement;
  private readonly root: ShadowRoot;
  private readonly actions: KeyActions;
  private picture: Picture | undefined;
  /** Where the focus is, or was when it left the stage. */
  private place: string | null = null;

  constructor(stage: HTMLElement, root: ShadowRoot, actions: KeyActions) {
    this.stage = stage;
    this.root = root;
    this.actions = actions;
    stage.addEventListener('keydown', (event) => this.onKey(event));
    // Not on the stage: a step from element to element is not heard outside the shadow root.
    root.addEventListener('focusin', () => this.onFocus());
    root.addEventListener('focusout', () => this.actions.focused(null));
  }

  /** Call before the old picture is taken away; what it returns puts the focus back where it was. */
  change(picture: Picture): () => void {
    const hadFocus = this.root.activeElement !== null;
    this.picture = picture;
    return () => {
      if (hadFocus) {
        const element = this.place === null ? undefined : picture.elementAt(this.place);
        (element ?? this.stage).focus({ preventScroll: true });
      }
    };
  }

  private onKey(event: KeyboardEvent): void {
    if (event.ctrlKey || event.metaKey || event.altKey || this.picture === undefined) {
      return;
    }
    const step = event.shiftKey ? undefined : steps[event.key];
    if (step !== undefined) {
      this.walk(this.picture, step);
    } else if (event.key.toLowerCase() === 'e') {
      this.nextFinding(this.picture);
    } else if ((event.key === 'Enter' || event.key === ' ') && this.focusedPlace() !== null) {
      this.actions.open(this.place ?? '');
    } else if (event.key === 'Escape' && this.focusedPlace() !== null) {
      this.stage.focus({ preventScroll: true });
    } else {
      return;
    }
    event.preventDefault();
  }

  private walk(picture: Picture, step: Step): void {
    const stops = picture.stops();
    const current = stops.findIndex((stop) => stop.place === this.place);
    // The first key after coming in goes to where the focus was last.
    const isInside = this.focusedPlace() !== null;
    const next = isInside || current < 0 ? stepFrom(stops, current, step) : current;
    this.focus(picture, stops[next]?.place);
  }

  private nextFinding(picture: Picture): void {
    const places = this.actions
      .findingPlaces()
      .filter((place) => picture.elementAt(place) !== undefined);
    const current = this.place === null ? -1 : places.indexOf(this.place);
    this.focus(picture, places[(current + 1) % Math.max(places.length, 1)]);
  }

  private focus(picture: Picture, place: string | undefined): void {
    if (place === undefined) {
      return;
    }
    const element = picture.elementAt(place);
    // Some places, such as a finding's, are no stop of the walk.
    if (element?.hasAttribute('tabindex') === false) {
      element.setAttribute('tabindex', '-1');
    }
    element?.focus({ preventScroll: true });
  }

  private onFocus(): void {
    this.place = this.focusedPlace() ?? this.place;
    const isByKey = this.root.activeElement?.matches(':focus-visible') === true;
    this.actions.focused(isByKey ? this.focusedPlace() : null);
  }

  private focusedPlace(): string | null {
    return this.root.activeElement?.getAttribute('data-place') ?? null;
  }
}
