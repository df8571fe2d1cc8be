/** Sizes in px and looks of texts of the terminals view. */
import type { TextLook } from '../planned.js';

export const STRIPS_PER_ROW = 4;

/** Between two terminals of a strip. */
export const PITCH = 28;
export const HEADER = 48;
export const FIRST_TERMINAL = HEADER + 26;
/** Between two levels of one strip: room for the name of another cable. */
export const LEVEL_GAP = 44;
export const BOX_BOTTOM = 22;
export const EARTH_ROOM = 18;
export const COVER_ROOM = 18;
export const STRIP_LEAST = 150;
export const STRIP_MOST = 220;
export const GAP_LEAST = 150;
export const ROW_GAP = 46;
export const ROW_NUMBER = 26;
export const TERMINAL_RADIUS = 5.5;
export const ELLIPSE_X = 7;
/** A core that is cut back ends so far from the strip. */
export const CUT_BACK = 12;
/** Between two cores that change places. */
export const TURN = 8;
export const RESISTOR = { width: 10, height: 18, reach: 24 } as const;

export const TAG: TextLook = { sizePx: 12.5, weight: 700, tone: 'ink' };
export const DETAIL: TextLook = { sizePx: 10, weight: 400, tone: 'muted' };
export const TERMINAL: TextLook = { sizePx: 10.5, weight: 700, tone: 'ink' };
export const CORE: TextLook = { sizePx: 10, weight: 400, tone: 'ink' };
export const CABLE_NAME: TextLook = { sizePx: 10.5, weight: 700, tone: 'ink' };
export const CABLE_TEXT: TextLook = { sizePx: 10, weight: 400, tone: 'muted' };
export const NOTE: TextLook = { sizePx: 10, weight: 400, tone: 'muted' };
export const ROW: TextLook = { sizePx: 15, weight: 700, tone: 'muted' };
