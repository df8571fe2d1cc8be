/** Frames drawn over the picture: round what the cursor is in, and round what has the focus. */
export type MarkKind = 'cursor' | 'focus';

const namespace = 'http://www.w3.org/2000/svg';
const marginPx = 4;

/**
 * Marks what stands for one thing: all pieces of its line where it has one, else its first element,
 * since the others are its numbers and its lines in lists. An empty list takes the mark away. What
 * is marked now is returned.
 */
export function mark(
  svg: SVGSVGElement,
  kind: MarkKind,
  elements: readonly SVGGraphicsElement[],
): SVGGraphicsElement[] {
  svg.querySelectorAll(`.ferrule-mark.is-${kind}`).forEach((old) => old.remove());
  const lines = elements.filter(isLine);
  for (const line of lines) {
    // Under the line, so that neither it nor what it runs under is covered.
    line.before(group(kind, halos(line)));
  }
  if (lines.length > 0) {
    return lines;
  }
  const [first] = elements;
  if (first === undefined) {
    return [];
  }
  svg.append(group(kind, [frame(svg, first)]));
  return [first];
}

function group(kind: MarkKind, children: SVGElement[]): SVGGElement {
  const made = document.createElementNS(namespace, 'g');
  made.setAttribute('class', `ferrule-mark is-${kind}`);
  made.setAttribute('aria-hidden', 'true');
  made.append(...children);
  return made;
}

/** A bus is seen by its line; a frame round all of it would hold half of the picture. */
function isLine(element: SVGGraphicsElement): boolean {
  return element.querySelector('rect') === null && linesOf(element).length > 0;
}

/** What is open; a closed path is a sign, such as the one round a finding's number. */
function linesOf(element: SVGGraphicsElement): SVGGraphicsElement[] {
  const inner = element.querySelectorAll<SVGGraphicsElement>('path, line, polyline');
  return [element, ...inner].filter(
    (each) =>
      each.matches('line, polyline') ||
      (each.matches('path') && !/z\s*$/i.test(each.getAttribute('d') ?? '')),
  );
}

/** The same lines once more, broad and without their own looks, for the parent of the element. */
function halos(element: SVGGraphicsElement): SVGElement[] {
  // A line is often drawn twice, with a ground under it.
  const once = new Map(linesOf(element).map((line) => [geometryOf(line).join(' '), line]));
  return [...once.values()].map((line) => {
    const halo = document.createElementNS(namespace, line.localName);
    for (const name of geometry) {
      const value = line.getAttribute(name);
      if (value !== null) {
        halo.setAttribute(name, value);
      }
    }
    halo.setAttribute('class', 'halo');
    const { a, b, c, d, e, f } = matrixIn(element.parentElement, line);
    halo.setAttribute('transform', `matrix(${a} ${b} ${c} ${d} ${e} ${f})`);
    return halo;
  });
}

const geometry = ['d', 'points', 'x1', 'y1', 'x2', 'y2'];

function geometryOf(line: Element): (string | null)[] {
  return geometry.map((name) => line.getAttribute(name));
}

/** A rectangle in the picture's own units, so that it moves and grows with the picture. */
function frame(svg: SVGSVGElement, element: SVGGraphicsElement): SVGElement {
  const box = boxIn(svg, element);
  const rect = document.createElementNS(namespace, 'rect');
  rect.setAttribute('class', 'frame');
  rect.setAttribute('x', String(box.x - marginPx));
  rect.setAttribute('y', String(box.y - marginPx));
  rect.setAttribute('width', String(box.width + 2 * marginPx));
  rect.setAttribute('height', String(box.height + 2 * marginPx));
  rect.setAttribute('rx', String(marginPx));
  return rect;
}

/** The element's bounding box in the picture's units, whatever groups it stands in. */
export function boxIn(svg: SVGSVGElement, element: SVGGraphicsElement): DOMRect {
  const box = element.getBBox();
  const matrix = matrixIn(svg, element);
  const a = new DOMPoint(box.x, box.y).matrixTransform(matrix);
  const b = new DOMPoint(box.x + box.width, box.y + box.height).matrixTransform(matrix);
  return new DOMRect(
    Math.min(a.x, b.x),
    Math.min(a.y, b.y),
    Math.abs(a.x - b.x),
    Math.abs(a.y - b.y),
  );
}

/** From an element's own units to those of something that holds it. */
function matrixIn(holder: Element | null, element: SVGGraphicsElement): DOMMatrix {
  const toScreen = element.getScreenCTM();
  const fromScreen =
    holder instanceof SVGGraphicsElement ? holder.getScreenCTM()?.inverse() : undefined;
  return DOMMatrix.fromMatrix(
    toScreen === null ? undefined : (fromScreen?.multiply(toScreen) ?? toScreen),
  );
}
