import type { DrawnSubject } from '../../../../server/protocol.js';
import type { Size } from './camera.js';
import { boxIn, mark, type MarkKind } from './marks.js';
import { markStyle } from './marks-style.js';
import { readSvg } from './safe-svg.js';
import type { Stop } from './walk.js';

interface DrawnName {
  place: string;
  name?: string;
}

/** The picture on the stage: its elements by place, and what the keyboard can stand on. */
export class Picture {
  readonly svg: SVGSVGElement;
  readonly size: Size;
  private readonly style: string;
  private readonly marked: SVGGraphicsElement[];
  private readonly byPlace = new Map<string, SVGGraphicsElement[]>();
  private readonly walked: DrawnSubject[];

  private constructor(svg: SVGSVGElement, style: string, subjects: DrawnSubject[] | undefined) {
    this.svg = svg;
    this.style = style;
    this.size = sizeOf(svg);
    svg.removeAttribute('width');
    svg.removeAttribute('height');
    svg.setAttribute('role', 'group');
    this.marked = [...svg.querySelectorAll<SVGGraphicsElement>('[data-place]')];
    for (const element of this.marked) {
      const place = element.getAttribute('data-place') ?? '';
      this.byPlace.set(place, [...(this.byPlace.get(place) ?? []), element]);
    }
    this.walked = (subjects ?? this.placesInOrder()).filter(({ place }) => this.byPlace.has(place));
    for (const { place, label } of this.walked) {
      const element = this.elementAt(place);
      element?.setAttribute('tabindex', '-1');
      element?.setAttribute('role', 'button');
      element?.setAttribute('aria-label', label);
    }
  }

  /** Undefined when the text is no picture. */
  static read(text: string, subjects: DrawnSubject[] | undefined): Picture | undefined {
    const safe = readSvg(text);
    return safe && new Picture(safe.svg, safe.style, subjects);
  }

  /** Puts the picture in the place of the one before. Its style holds for nothing else on the page. */
  attachTo(root: ShadowRoot): void {
    const sheets = [markStyle, this.style].map((text) => {
      const sheet = new CSSStyleSheet();
      sheet.replaceSync(text);
      return sheet;
    });
    root.adoptedStyleSheets = sheets;
    const theme = document.createElement('div');
    theme.append(this.svg);
    root.replaceChildren(theme);
    this.followTheme();
  }

  /** The picture's style asks for the theme's class above it, which the page has on its body. */
  followTheme(): void {
    if (this.svg.parentElement !== null) {
      this.svg.parentElement.className = document.body.className;
    }
  }

  /** Marks a subject and gives what is marked now; null takes the mark away. */
  mark(kind: MarkKind, subject: DrawnName | null): SVGGraphicsElement[] {
    return mark(this.svg, kind, subject === null ? [] : this.find(subject));
  }

  /** Everything of that place or name; where there is none, a device's members, such as `FC-1.field`. */
  private find({ place, name }: DrawnName): SVGGraphicsElement[] {
    const exact = this.marked.filter(
      (element) =>
        element.getAttribute('data-place') === place ||
        (name !== undefined && element.getAttribute('data-name') === name),
    );
    return exact.length > 0 || name === undefined
      ? exact
      : this.marked.filter((element) => element.getAttribute('data-name')?.startsWith(`${name}.`));
  }

  elementAt(place: string): SVGGraphicsElement | undefined {
    const elements = this.byPlace.get(place);
    return elements?.find((element) => element.hasAttribute('aria-label')) ?? elements?.[0];
  }

  /** In the order of the subjects; only of a picture that is attached, since its text has to be measured. */
  stops(): Stop[] {
    return this.walked.flatMap(({ place, chain, area }) => {
      const element = this.elementAt(place);
      if (element === undefined) {
        return [];
      }
      const box = boxIn(this.svg, element);
      return [{ place, chain, area, x: box.x + box.width / 2, y: box.y + box.height / 2 }];
    });
  }

  /** For a picture whose server gives no subjects. */
  private placesInOrder(): DrawnSubject[] {
    return [...this.byPlace.keys()].map((place) => ({
      place,
      label: this.elementAt(place)?.getAttribute('aria-label') ?? place,
    }));
  }
}

function sizeOf(svg: SVGSVGElement): Size {
  const { width, height } = svg.viewBox.baseVal;
  return width > 0 && height > 0 ? { width, height } : { width: 300, height: 150 };
}
