/** Sizes of the topology view in px. Everything else follows from these and from the texts. */
import type { Side } from './placement.js';

export const TAG_PX = 12.5;
export const SATELLITE_TAG_PX = 11;
export const DETAIL_PX = 10;
export const LABEL_PX = 10.5;
export const PORT_NAME_PX = 8.5;
export const ROOM_PX = 10;
export const AREA_PX = 14;
/** Between two lines of a band's title. */
export const AREA_LINE = 17;

export const PIN_PITCH: Readonly<Record<Side, number>> = { bottom: 14, inner: 11, feed: 12 };
export const SYMBOL_PITCH = 16;
export const PORT_GAP = 10;

export const BOX_LEAST_WIDTH = 132;
export const BOX_MOST_WIDTH = 190;
export const BOX_PAD = 10;
export const BOX_HEIGHT = 54;
/** Added where a box shows the names of its ports. */
export const PORT_NAME_ROOM = 10;
export const ICON = 16;
/** Between the lanes of a cell and its satellites. */
export const LANE_GAP = 6;
export const SATELLITE_PAD = 7;
export const SATELLITE_LEAST_WIDTH = 84;
export const SATELLITE_HEIGHT = 35;
export const SATELLITE_GAP = 19;
export const COLUMN_GAP = 34;
export const SLICE_PAD = 24;

export const FRAME_PAD = 11;
export const FRAME_TITLE = 22;

/** Height of a track that carries a label, and of one that does not. */
export const LABEL_TRACK = 18;
export const PLAIN_TRACK = 9;
/** Room between a channel's outer tracks and what is above and below it. */
export const CHANNEL_PAD = 7;
/** Room under a row of boxes for terminators and earth marks. */
export const SYMBOL_ROOM = 24;
export const NO_SYMBOL_ROOM = 6;

export const GUTTER_TRACK = 9;
export const GUTTER_PAD = 8;
/** Distance that two lines on one track keep. */
export const TRACK_CLEARANCE = 8;

export const BAND_PAD = 12;
export const STRIP_GAP = 14;
export const STRIP_ROW = 17;
export const STRIP_LEAST_WIDTH = 136;
export const STRIP_MOST_WIDTH = 230;

export const PILL_HEIGHT = 15;
export const PILL_PAD = 6;
export const LABEL_GAP = 5;
/** Line that stays visible beside a label, both sides together. */
export const LABEL_MARGINS = 16;

export const RAIL_LEAST = 90;
export const RAIL_MOST = 150;
/** Marks of findings that stand above each other beside a box. */
export const BADGES_IN_STACK = 3;
/** Room that the title and level of a band take in the rail. */
export const RAIL_TEXTS = 58;
