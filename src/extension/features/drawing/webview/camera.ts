import type { Camera } from '../messages.js';

export interface Size {
  width: number;
  height: number;
}

export interface Point {
  x: number;
  y: number;
}

/** Room left round a fitted picture, in pixels. */
const marginPx = 12;
const smallestScale = 0.05;
const greatestScale = 8;

/** The whole picture, never larger than life. */
export function fitted(picture: Size, stage: Size): Camera {
  const scale = Math.min(
    1,
    (stage.width - 2 * marginPx) / picture.width,
    (stage.height - 2 * marginPx) / picture.height,
  );
  return {
    scale: clampScale(scale),
    centreX: picture.width / 2,
    centreY: picture.height / 2,
  };
}

/** The same middle at another scale. */
export function scaledTo(camera: Camera, scale: number): Camera {
  return { ...camera, scale: clampScale(scale) };
}

/** Larger or smaller by a factor; what stands under a point of the stage stays under it. */
export function zoomedAt(camera: Camera, stage: Size, at: Point, factor: number): Camera {
  const scale = clampScale(camera.scale * factor);
  const fromCentre = { x: at.x - stage.width / 2, y: at.y - stage.height / 2 };
  return {
    scale,
    centreX: camera.centreX + fromCentre.x / camera.scale - fromCentre.x / scale,
    centreY: camera.centreY + fromCentre.y / camera.scale - fromCentre.y / scale,
  };
}

/** Moves the picture by pixels, as far as its middle third stays in reach. */
export function panned(camera: Camera, picture: Size, by: Point): Camera {
  return {
    ...camera,
    centreX: clamp(camera.centreX - by.x / camera.scale, 0, picture.width),
    centreY: clamp(camera.centreY - by.y / camera.scale, 0, picture.height),
  };
}

/** Where the picture's upper left corner stands on the stage. */
export function cornerOf(camera: Camera, stage: Size): Point {
  return {
    x: stage.width / 2 - camera.centreX * camera.scale,
    y: stage.height / 2 - camera.centreY * camera.scale,
  };
}

/**
 * Moves nothing when a box of the picture is seen, else as little as shows it with a margin; the
 * middle of a box that is larger than the stage.
 */
export function revealing(
  camera: Camera,
  stage: Size,
  box: { x: number; y: number; width: number; height: number },
): Camera {
  const half = { x: stage.width / 2 / camera.scale, y: stage.height / 2 / camera.scale };
  const margin = marginPx / camera.scale;
  const along = (centre: number, low: number, high: number, reach: number) =>
    low >= centre - reach && high <= centre + reach
      ? centre
      : nearest(centre, low - margin, high + margin, reach);
  return {
    scale: camera.scale,
    centreX: along(camera.centreX, box.x, box.x + box.width, half.x),
    centreY: along(camera.centreY, box.y, box.y + box.height, half.y),
  };
}

/** The centre nearest to the old one from which `low` to `high` is seen, `half` being seen to each side. */
function nearest(centre: number, low: number, high: number, half: number): number {
  return high - low > 2 * half ? (low + high) / 2 : clamp(centre, high - half, low + half);
}

function clampScale(scale: number): number {
  return clamp(scale, smallestScale, greatestScale);
}

function clamp(value: number, low: number, high: number): number {
  return Math.min(Math.max(value, low), high);
}
