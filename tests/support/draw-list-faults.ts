/** What may be wrong with a picture of any view, read from its draw list. */
import { grown, rectsOverlap, type Rect } from '../../src/drawing/layout/geometry.js';
import { textRect } from '../../src/drawing/layout/planned.js';
import type { DrawList, DrawNode, DrawText } from '../../src/drawing/svg/draw-list.js';

/** Texts on texts, and texts that leave the picture. */
export function drawListFaults(list: DrawList): string[] {
  const texts = textsOf(list.children)
    .map((text) => ({ text: text.text, rect: grown(rectOf(text), -0.5) }))
    .sort((one, other) => one.rect.y - other.rect.y);
  const faults: string[] = [];
  texts.forEach((one, index) => {
    const { x, y, width, height } = one.rect;
    if (x < 0 || y < 0 || x + width > list.widthPx || y + height > list.heightPx) {
      faults.push(`"${one.text}" leaves the picture`);
    }
    for (let at = index + 1; at < texts.length; at++) {
      const other = texts[at]!;
      if (other.rect.y >= y + height) break;
      if (rectsOverlap(one.rect, other.rect)) faults.push(`"${one.text}" on "${other.text}"`);
    }
  });
  return faults;
}

/** Every text of a picture. */
export function textsOf(nodes: readonly DrawNode[]): DrawText[] {
  return nodes.flatMap((node) =>
    node.kind === 'group' ? textsOf(node.children) : node.kind === 'text' ? [node] : [],
  );
}

function rectOf(text: DrawText): Rect {
  return textRect({ ...text, tone: 'ink' });
}
