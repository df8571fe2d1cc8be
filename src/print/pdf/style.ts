/** What the classes of a drawing look like on paper: the drawings' own style sheet, read. */
import { LIGHT, RUN_COLOURS_LIGHT, STYLE_SHEET } from '../../drawing/svg/style.js';
import type { Palette } from '../../drawing/svg/style.js';

export interface Paint {
  readonly fill: string | undefined;
  readonly stroke: string | undefined;
  readonly strokeWidthPx: number;
  readonly dash: readonly number[] | undefined;
  readonly cap: 'butt' | 'round';
  readonly join: 'miter' | 'round';
}

interface Rule {
  readonly classes: readonly string[];
  readonly element: string | undefined;
  readonly declarations: ReadonlyMap<string, string>;
}

/** What a shape has that no rule speaks of (SVG 1.1, 11). */
export const PLAIN: Paint = {
  fill: '#000000',
  stroke: undefined,
  strokeWidthPx: 1,
  dash: undefined,
  cap: 'butt',
  join: 'miter',
};

/** The look of an element inside one that looks like `outer`. */
export function paintOf(className: string, element: 'text' | 'shape', outer: Paint): Paint {
  const key = `${element} ${className}`;
  let declarations = cache.get(key);
  if (declarations === undefined) {
    declarations = declarationsOf(className, element);
    cache.set(key, declarations);
  }
  return declarations.size === 0 ? outer : applied(declarations, outer);
}

const cache = new Map<string, ReadonlyMap<string, string>>();

/** Rules that hold for a picture in light colours on its own: `.ferrule-drawing .a.b{…}`. */
const RULES: readonly Rule[] = STYLE_SHEET.split('\n').flatMap((line) => {
  const match = /^\.ferrule-drawing (text|(?:\.[\w-]+)+)\{([^}]*)\}$/u.exec(line);
  const [, selector = '', body = ''] = match ?? [];
  return match === null
    ? []
    : [
        {
          classes: selector.startsWith('.') ? selector.slice(1).split('.') : [],
          element: selector.startsWith('.') ? undefined : selector,
          declarations: new Map(
            body.split(';').flatMap((declaration): [string, string][] => {
              const [name, value] = declaration.split(':');
              return name === undefined || value === undefined ? [] : [[name, value]];
            }),
          ),
        },
      ];
});

/** The same look as a style sheet without variables, for readers that know none. */
export function plainStyleSheet(): string {
  return RULES.map(({ classes, element, declarations }) => {
    const selector = element ?? classes.map((name) => `.${name}`).join('');
    const body = [...declarations].map(([name, value]) => `${name}:${colourOf(value) ?? 'none'}`);
    return `${selector}{${body.join(';')}}`;
  }).join('\n');
}

/** Later rules win over earlier ones, more classes over fewer, a class over an element. */
function declarationsOf(className: string, element: string): ReadonlyMap<string, string> {
  const classes = new Set(className.split(' '));
  const matching = RULES.filter(
    (rule) =>
      (rule.element === undefined || rule.element === element) &&
      rule.classes.every((name) => classes.has(name)),
  );
  return new Map(
    matching
      .map((rule, index) => ({ rule, index }))
      .sort(
        (one, other) =>
          one.rule.classes.length - other.rule.classes.length || one.index - other.index,
      )
      .flatMap(({ rule }) => [...rule.declarations]),
  );
}

function applied(declarations: ReadonlyMap<string, string>, outer: Paint): Paint {
  const colour = (name: 'fill' | 'stroke') => {
    const value = declarations.get(name);
    return value === undefined ? outer[name] : colourOf(value);
  };
  const dash = declarations.get('stroke-dasharray');
  const width = declarations.get('stroke-width');
  return {
    fill: colour('fill'),
    stroke: colour('stroke'),
    strokeWidthPx: width === undefined ? outer.strokeWidthPx : Number.parseFloat(width),
    dash:
      dash === undefined ? outer.dash : dash === 'none' ? undefined : dash.split(' ').map(Number),
    cap: (declarations.get('stroke-linecap') ?? outer.cap) === 'round' ? 'round' : 'butt',
    join: (declarations.get('stroke-linejoin') ?? outer.join) === 'round' ? 'round' : 'miter',
  };
}

function colourOf(value: string): string | undefined {
  if (value === 'none' || value === 'transparent') {
    return undefined;
  }
  const variable = /^var\(--fd-([\w-]+)\)$/u.exec(value)?.[1];
  if (variable === undefined) {
    return value;
  }
  const run = /^run-(\d+)$/u.exec(variable)?.[1];
  if (run !== undefined) {
    return RUN_COLOURS_LIGHT[Number(run)];
  }
  const name = variable.replace(/-(\w)/gu, (_, letter: string) => letter.toUpperCase());
  return LIGHT[name as keyof Palette];
}
