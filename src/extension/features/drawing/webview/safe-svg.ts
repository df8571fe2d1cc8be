/** A picture ready to be shown: no script, no handler, no link, nothing loaded from anywhere. */
export interface SafeSvg {
  svg: SVGSVGElement;
  /** What stood in its style elements, for a style sheet of its own. */
  style: string;
}

const namespace = 'http://www.w3.org/2000/svg';

const elements = new Set([
  ...['svg', 'g', 'defs', 'symbol', 'use', 'title', 'desc', 'clipPath', 'marker', 'pattern'],
  ...['path', 'line', 'polyline', 'polygon', 'rect', 'circle', 'ellipse', 'text', 'tspan'],
]);

/**
 * Reads the server's picture and keeps what a drawing needs. The server escapes what people wrote;
 * this is the second lock, so it keeps a list of what may stay and not of what must go.
 */
export function readSvg(text: string): SafeSvg | undefined {
  // Taken out first, since the page's policy refuses style elements even in a parsed document.
  const styles: string[] = [];
  const withoutStyle = text.replace(
    /<style\b[^>]*>(?:\s*<!\[CDATA\[)?([\s\S]*?)(?:\]\]>\s*)?<\/style>/g,
    (_element, content: string) => {
      styles.push(content);
      return '';
    },
  );
  const parsed = new DOMParser().parseFromString(withoutStyle, 'image/svg+xml');
  const root = parsed.documentElement;
  if (root.localName !== 'svg' || root.namespaceURI !== namespace) {
    return undefined;
  }
  return { svg: copy(root) as SVGSVGElement, style: styles.map(withoutLoads).join('\n') };
}

/** Builds the element anew, so that nothing unknown can come along. */
function copy(source: Element): Element {
  const made = document.createElementNS(namespace, source.localName);
  for (const { name, value } of source.attributes) {
    if (mayStay(name, value)) {
      made.setAttribute(name, value);
    }
  }
  for (const child of source.childNodes) {
    if (child instanceof Text) {
      made.append(child.data);
    } else if (
      child instanceof Element &&
      child.namespaceURI === namespace &&
      elements.has(child.localName)
    ) {
      made.append(copy(child));
    }
  }
  return made;
}

function mayStay(name: string, value: string): boolean {
  if (name === 'style' || name.startsWith('on') || name.startsWith('xmlns')) {
    return false;
  }
  if (name === 'href' || name.includes(':')) {
    return name === 'href' && value.startsWith('#');
  }
  // What is loaded by a presentation attribute may only be a part of the picture itself.
  return [...value.matchAll(/url\(\s*['"]?(.?)/gi)].every(([, first]) => first === '#');
}

/** A style may name parts of the picture and nothing from elsewhere. */
function withoutLoads(style: string): string {
  return style.replace(/@import[^;]*;?/gi, '').replace(/url\(\s*['"]?(?!['"#\s])[^)]*\)/gi, 'none');
}
