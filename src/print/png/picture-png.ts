/** A drawing as a picture of pixels, in light colours and with the font of the drawings. Heavy: loaded when one is written. */
import { Resvg, initWasm } from '@resvg/resvg-wasm';
import renderer from '@resvg/resvg-wasm/index_bg.wasm';
import { svgOf } from '../../drawing/index.js';
import type { DrawList } from '../../drawing/index.js';
import { fontFile } from '../pdf/fonts.js';
import { plainStyleSheet } from '../pdf/style.js';

/** Pixels for each pixel of the drawing, so that its small type stays sharp when it is enlarged. */
const USUAL_ZOOM = 2;
/** A picture takes four bytes for each pixel while it is made, and programs refuse larger ones. */
const MOST_PIXELS = 64_000_000;

/** The bytes of a PNG (ISO/IEC 15948); the same for the same drawing. */
export async function pngOf(list: DrawList): Promise<Uint8Array> {
  await initWasm(renderer);
  const zoom = Math.min(USUAL_ZOOM, Math.sqrt(MOST_PIXELS / (list.widthPx * list.heightPx)));
  const picture = new Resvg(svgOf(list, plainStyleSheet()), {
    fitTo: { mode: 'zoom', value: zoom },
    font: { fontBuffers: [fontFile(400), fontFile(700)], defaultFontFamily: 'Arimo' },
  });
  return picture.render().asPng();
}
