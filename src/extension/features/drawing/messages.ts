import type { DrawingResult, DrawingView, Position, Subject } from '../../../server/protocol.js';

/** What the extension tells the page. */
export type ToPage = PictureMessage | HighlightMessage;

/** What the page tells the extension. */
export type ToHost =
  /** The page has loaded, for the first time or again after it was hidden. */
  | { type: 'ready' }
  /** The picture of that revision stands on the screen; tests wait for it. */
  | { type: 'shown'; revision: number }
  | { type: 'open'; place: string }
  /** `number` as in the findings of that revision. */
  | { type: 'openFinding'; revision: number; number: number };

/** A new picture, or with `svg` null a reason to keep the old one. */
export interface PictureMessage extends Pick<
  DrawingResult,
  'title' | 'svg' | 'problem' | 'subjects' | 'findings'
> {
  type: 'picture';
  /** Counts the messages of one panel, so that it grows even when the server starts anew. */
  revision: number;
  /** The same for pictures of the same thing: zoom and place are kept among them. */
  key: string;
  /** What to show again after the window was reloaded. */
  target: Target;
}

export interface HighlightMessage {
  type: 'highlight';
  /** Null: nothing is highlighted. */
  subject: HighlightedSubject | null;
}

/** What carries this place or this name. */
export type HighlightedSubject = Pick<Subject, 'place' | 'name'>;

export interface Target {
  view: DrawingView;
  uri: string;
  /** The bus or feed of a terminals view. */
  of?: string;
  /** Where the cursor is in the bus or feed, as long as its name is not known. */
  position?: Position;
}

/** What the page remembers while it is hidden and over a reload of the window. */
export interface PageState {
  target?: Target;
  /** By key, the latest last. */
  cameras: [key: string, camera: Camera][];
}

/** Which part of a picture is seen; lengths in the picture's own units. */
export interface Camera {
  /** Pixels of the screen per unit. */
  scale: number;
  /** What stands in the middle of the stage. */
  centreX: number;
  centreY: number;
}
