/** The look of every class, in light and dark, in one place. */
import { FONT_STACK } from './text-measure.js';

/** Colours of runs on a light and on a dark ground: at least 3:1 against it, and apart from each other for colour-blind eyes. */
export const RUN_COLOURS_LIGHT = [
  '#1F78C8',
  '#D55E00',
  '#006B4F',
  '#C0559F',
  '#3F3300',
  '#2A1A80',
] as const;
export const RUN_COLOURS_DARK = [
  '#7FC8F5',
  '#E0662A',
  '#25C795',
  '#C873AA',
  '#F7E68A',
  '#7A6BF0',
] as const;

/** Dashes of runs: the first is a full line. */
export const RUN_DASHES = [
  'none',
  '11 4',
  '2.5 3.5',
  '12 4 2.5 4',
  '5 4',
  '14 3 2.5 3 2.5 3',
  '20 4 6 4',
] as const;

/** Colours of cores by their codes; each is drawn inside a casing that carries the contrast. */
const CORE_COLOURS: Readonly<Record<string, string>> = {
  BK: '#111111',
  BN: '#7A4A21',
  RD: '#D0021B',
  OG: '#F58220',
  YE: '#F2D200',
  GN: '#1E8E3E',
  BU: '#1F66C0',
  VT: '#7D3C98',
  GY: '#8C949C',
  WH: '#FFFFFF',
  PK: '#F4A6C0',
  GD: '#C9A227',
  TQ: '#30C5C5',
  SR: '#C0C6CC',
  GNYE: '#1E8E3E',
};

/** Fixed colours; without one the picture follows the editor around it and is light where there is none. */
export type Theme = 'light' | 'dark' | 'high-contrast-light' | 'high-contrast-dark';

export function themeClass(theme: Theme | undefined): string {
  return theme === undefined ? 'ferrule-drawing' : `ferrule-drawing fd-theme-${theme}`;
}

export interface Palette {
  readonly ground: string;
  readonly box: string;
  readonly ink: string;
  readonly muted: string;
  readonly frame: string;
  /** The slab between two floors: decoration beside the floors' titles, so it may be faint. */
  readonly slab: string;
  readonly feed: string;
  readonly branch: string;
  readonly ip: string;
  readonly local: string;
  readonly error: string;
  readonly warning: string;
  readonly hint: string;
  readonly onError: string;
}

export const LIGHT: Palette = {
  ground: '#FFFFFF',
  box: '#FFFFFF',
  ink: '#16202A',
  muted: '#515C68',
  frame: '#8A95A1',
  slab: '#C4CCD4',
  feed: '#8A2F6B',
  branch: '#6A5320',
  ip: '#36424E',
  local: '#48545F',
  error: '#B3141C',
  warning: '#8A5A00',
  hint: '#2C5FA8',
  onError: '#FFFFFF',
};

export const DARK: Palette = {
  ground: '#1B1F24',
  box: '#232930',
  ink: '#E8EDF2',
  muted: '#A9B4BF',
  frame: '#6B7681',
  slab: '#3D464F',
  feed: '#E59BCB',
  branch: '#D9B563',
  ip: '#C3CDD6',
  local: '#B5C0CA',
  error: '#FF7B72',
  warning: '#F0B429',
  hint: '#82B4FF',
  onError: '#1B1F24',
};

/** Names of editor theme colours that replace the palette's own where an editor gives them. */
const EDITOR_COLOURS: Partial<Record<keyof Palette, string>> = {
  ground: '--vscode-editor-background',
  box: '--vscode-editor-background',
  ink: '--vscode-editor-foreground',
};

export const STYLE_SHEET = [
  `.ferrule-drawing{${variables(LIGHT, RUN_COLOURS_LIGHT)}background:var(--fd-ground);font-family:${FONT_STACK};font-kerning:none}`,
  `.vscode-dark .ferrule-drawing{${variables(DARK, RUN_COLOURS_DARK)}}`,
  `.vscode-high-contrast .ferrule-drawing{${highContrast('#FFFFFF', '#000000')}}`,
  `.vscode-high-contrast-light .ferrule-drawing{${highContrast('#000000', '#FFFFFF')}}`,
  // A theme that was asked for wins over the surroundings, and over their colours.
  `.ferrule-drawing.fd-theme-light.fd-theme-light{${fixed(LIGHT, RUN_COLOURS_LIGHT)}}`,
  `.ferrule-drawing.fd-theme-dark.fd-theme-dark{${fixed(DARK, RUN_COLOURS_DARK)}}`,
  `.ferrule-drawing.fd-theme-high-contrast-light.fd-theme-high-contrast-light{${highContrast('#000000', '#FFFFFF')}}`,
  `.ferrule-drawing.fd-theme-high-contrast-dark.fd-theme-high-contrast-dark{${highContrast('#FFFFFF', '#000000')}}`,
  '.ferrule-drawing text{fill:var(--fd-ink);white-space:pre}',
  '.ferrule-drawing .fd-muted{fill:var(--fd-muted)}',
  '.ferrule-drawing [data-place]{cursor:pointer}',
  '.ferrule-drawing .fd-ground{fill:var(--fd-ground)}',
  '.ferrule-drawing .fd-slab{fill:none;stroke:var(--fd-slab);stroke-width:5}',
  '.ferrule-drawing .fd-level{fill:var(--fd-muted);stroke:none}',
  '.ferrule-drawing .fd-frame{fill:none;stroke:var(--fd-frame);stroke-width:0.9}',
  '.ferrule-drawing .fd-box{fill:var(--fd-box);stroke:var(--fd-ink);stroke-width:1.3}',
  '.ferrule-drawing .fd-controller{stroke-width:2.4}',
  '.ferrule-drawing .fd-rule{fill:none;stroke:var(--fd-frame);stroke-width:0.9}',
  '.ferrule-drawing .fd-icon{fill:none;stroke:var(--fd-muted);stroke-width:1.3;stroke-linecap:round;stroke-linejoin:round}',
  '.ferrule-drawing .fd-icon-fill{fill:var(--fd-muted);stroke:none}',
  '.ferrule-drawing .fd-halo{fill:none;stroke:var(--fd-ground);stroke-width:6}',
  '.ferrule-drawing .fd-hit{fill:none;stroke:transparent;stroke-width:11;pointer-events:stroke}',
  '.ferrule-drawing .fd-line{fill:none;stroke-linejoin:round}',
  '.ferrule-drawing .fd-bus{stroke-width:2.2}',
  '.ferrule-drawing .fd-local{stroke:var(--fd-local);stroke-width:1.5;stroke-dasharray:1.5 2.5}',
  '.ferrule-drawing .fd-feed{stroke:var(--fd-feed);stroke-width:1.7}',
  '.ferrule-drawing .fd-branch{stroke:var(--fd-branch);stroke-width:1.2;stroke-dasharray:7 2}',
  '.ferrule-drawing .fd-ip{stroke:var(--fd-ip);stroke-width:4.6}',
  '.ferrule-drawing .fd-ip-core{fill:none;stroke:var(--fd-ground);stroke-width:2}',
  '.ferrule-drawing .fd-spur{stroke-width:1.6}',
  '.ferrule-drawing .fd-dot{stroke:none}',
  '.ferrule-drawing .fd-dot.fd-feed{fill:var(--fd-feed)}',
  '.ferrule-drawing .fd-dot.fd-branch{fill:var(--fd-branch)}',
  '.ferrule-drawing .fd-dot.fd-ip{fill:var(--fd-ip)}',
  '.ferrule-drawing .fd-bar{fill:none;stroke:var(--fd-ink);stroke-width:4}',
  '.ferrule-drawing .fd-mask{fill:var(--fd-ground);stroke:none}',
  '.ferrule-drawing .fd-pill{fill:var(--fd-ground);stroke-width:1.8}',
  '.ferrule-drawing .fd-pill-plain{stroke:var(--fd-ip)}',
  '.ferrule-drawing .fd-pill-local{stroke:var(--fd-local)}',
  '.ferrule-drawing .fd-pill-feed{stroke:var(--fd-feed)}',
  '.ferrule-drawing .fd-symbol{fill:var(--fd-ground);stroke:var(--fd-ink);stroke-width:1.6}',
  '.ferrule-drawing .fd-symbol-line{fill:none;stroke:var(--fd-ink);stroke-width:1.6}',
  '.ferrule-drawing .fd-missing{fill:var(--fd-ground);stroke:var(--fd-error);stroke-width:1.6;stroke-dasharray:2.5 2}',
  '.ferrule-drawing .fd-missing-cross{fill:none;stroke:var(--fd-error);stroke-width:1.6}',
  '.ferrule-drawing .fd-error{fill:var(--fd-error);stroke:var(--fd-error);stroke-width:1.8;stroke-linejoin:round}',
  '.ferrule-drawing .fd-warning{fill:var(--fd-ground);stroke:var(--fd-warning);stroke-width:2.2;stroke-linejoin:round}',
  '.ferrule-drawing .fd-hint{fill:var(--fd-ground);stroke:var(--fd-hint);stroke-width:1.3;stroke-dasharray:2 1.6}',
  '.ferrule-drawing .fd-on-error{fill:var(--fd-on-error)}',
  '.ferrule-drawing .fd-ellipse{fill:none;stroke:var(--fd-ink);stroke-width:1.3}',
  '.ferrule-drawing .fd-cut{fill:none;stroke:var(--fd-muted);stroke-width:1.3;stroke-dasharray:4 3}',
  '.ferrule-drawing .fd-link{fill:none;stroke:var(--fd-ink);stroke-width:1.5}',
  '.ferrule-drawing .fd-link-screen{fill:none;stroke:var(--fd-muted);stroke-width:1.5;stroke-dasharray:3 2}',
  '.ferrule-drawing .fd-terminal{fill:var(--fd-box);stroke:var(--fd-ink);stroke-width:1.6}',
  '.ferrule-drawing .fd-terminal-inner{fill:var(--fd-ink);stroke:none}',
  '.ferrule-drawing .fd-joint{fill:var(--fd-box);stroke:var(--fd-muted);stroke-width:1.3}',
  '.ferrule-drawing .fd-casing{fill:none;stroke:var(--fd-ink);stroke-width:5}',
  '.ferrule-drawing .fd-core-line{fill:none;stroke-width:3}',
  '.ferrule-drawing .fd-colour-number{stroke:var(--fd-ink)}',
  ...Object.entries(CORE_COLOURS).map(
    ([code, colour]) => `.ferrule-drawing .fd-colour-${code}{stroke:${colour}}`,
  ),
  '.ferrule-drawing .fd-colour-GNYE-stripe{stroke:#F2D200;stroke-dasharray:7 7}',
  '.ferrule-drawing .fd-screen-casing{fill:none;stroke:var(--fd-muted);stroke-width:4.5;stroke-dasharray:2 1.5}',
  '.ferrule-drawing .fd-screen{fill:none;stroke:var(--fd-ground);stroke-width:1.4}',
  '.ferrule-drawing .fd-core-missing{fill:none;stroke:var(--fd-error);stroke-width:1.4;stroke-dasharray:2 4}',
  '.ferrule-drawing .fd-cap{fill:var(--fd-ink);stroke:none}',
  '.ferrule-drawing .fd-cover{fill:none;stroke:var(--fd-ink);stroke-width:1.6;stroke-dasharray:9 3}',
  '.ferrule-drawing .fd-cover-missing{fill:none;stroke:var(--fd-error);stroke-width:1.8;stroke-dasharray:2.5 2.5}',
  '.ferrule-drawing .fd-missing-lead{fill:none;stroke:var(--fd-error);stroke-width:1.6;stroke-dasharray:2.5 2}',
  '.ferrule-drawing .fd-over{stroke:var(--fd-error);stroke-width:3}',
  '.ferrule-drawing .fd-bar-room{fill:none;stroke:var(--fd-frame);stroke-width:0.9}',
  '.ferrule-drawing .fd-bar-edge{fill:none;stroke:var(--fd-ink);stroke-width:1.2}',
  '.ferrule-drawing .fd-bar-filled{fill:var(--fd-muted);stroke:none}',
  '.ferrule-drawing .fd-bar-over{fill:var(--fd-error);stroke:none}',
  '.ferrule-drawing .fd-over-mark{fill:none;stroke:var(--fd-ink);stroke-width:2.4}',
  '.ferrule-drawing .fd-hatch{fill:none;stroke:var(--fd-ink);stroke-width:1}',
  '.ferrule-drawing .fd-grid-hatch{fill:none;stroke:var(--fd-frame);stroke-width:0.9}',
  '.ferrule-drawing .fd-row{fill:transparent;stroke:none}',
  '.ferrule-drawing .fd-grid{fill:none;stroke:var(--fd-slab);stroke-width:0.7}',
  '.ferrule-drawing .fd-axis{fill:none;stroke:var(--fd-ink);stroke-width:1.2}',
  '.ferrule-drawing .fd-limit{fill:none;stroke:var(--fd-error);stroke-width:1.6;stroke-dasharray:7 3}',
  '.ferrule-drawing .fd-curve{fill:none;stroke:var(--fd-ink);stroke-width:1.7;stroke-linejoin:round}',
  '.ferrule-drawing .fd-plot-dot{fill:var(--fd-ink);stroke:none}',
  '.ferrule-drawing .fd-address{fill:var(--fd-box);stroke:var(--fd-frame);stroke-width:0.9}',
  '.ferrule-drawing .fd-address-used{fill:var(--fd-ink);stroke:var(--fd-ink);stroke-width:0.9}',
  '.ferrule-drawing .fd-address-ring{fill:none;stroke:var(--fd-box);stroke-width:1.3}',
  '.ferrule-drawing .fd-address-laptop{fill:var(--fd-box);stroke:var(--fd-ink);stroke-width:2.2;stroke-dasharray:4 2}',
  '.ferrule-drawing .fd-on-used{fill:var(--fd-box)}',
  ...RUN_COLOURS_LIGHT.map(
    (_, index) => `.ferrule-drawing .fd-c${index}{stroke:var(--fd-run-${index})}`,
  ),
  ...RUN_DASHES.map(
    (dash, index) => `.ferrule-drawing .fd-line.fd-d${index}{stroke-dasharray:${dash}}`,
  ),
].join('\n');

/** The palette as variables, editor colours first. */
function variables(palette: Palette, runs: readonly string[]): string {
  return declarations((key) => {
    const editor = EDITOR_COLOURS[key];
    return editor === undefined ? palette[key] : `var(${editor},${palette[key]})`;
  }, runs);
}

/** The palette as variables, whatever the editor's colours are. */
function fixed(palette: Palette, runs: readonly string[]): string {
  return declarations((key) => palette[key], runs);
}

/** High contrast: text colour everywhere; runs are told by dash and name alone. */
function highContrast(inkFallback: string, groundFallback: string): string {
  const ink = `var(--vscode-editor-foreground,${inkFallback})`;
  const ground = `var(--vscode-editor-background,${groundFallback})`;
  const grounds: readonly (keyof Palette)[] = ['ground', 'box', 'onError'];
  return declarations(
    (key) => (grounds.includes(key) ? ground : ink),
    RUN_COLOURS_LIGHT.map(() => ink),
  );
}

function declarations(colour: (key: keyof Palette) => string, runs: readonly string[]): string {
  const keys = Object.keys(LIGHT) as (keyof Palette)[];
  return [
    ...keys.map((key) => `--fd-${kebab(key)}:${colour(key)};`),
    ...runs.map((run, index) => `--fd-run-${index}:${run};`),
  ].join('');
}

function kebab(name: string): string {
  return name.replace(/[A-Z]/gu, (letter) => `-${letter.toLowerCase()}`);
}
