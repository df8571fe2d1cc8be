/** Measures of colours for the tests of the drawings. */

type Triple = readonly [number, number, number];

/** Contrast of two colours, 1 to 21 (W3C, Web Content Accessibility Guidelines 2.2, contrast ratio). */
export function contrast(one: string, other: string): number {
  const [low, high] = [luminance(one), luminance(other)].sort((a, b) => a - b);
  return ((high ?? 0) + 0.05) / ((low ?? 0) + 0.05);
}

export type Vision = 'usual' | 'protan' | 'deutan' | 'tritan';

/**
 * Distance of two colours as seen with a kind of vision: CIE 1976 L*a*b* difference. The simulation is
 * that of Machado, Oliveira and Fernandes 2009 at full severity (matrices from memory).
 */
export function distance(one: string, other: string, vision: Vision): number {
  const [first, second] = [one, other].map((colour) => lab(seen(linear(colour), vision)));
  if (!first || !second) return 0;
  return Math.hypot(first[0] - second[0], first[1] - second[1], first[2] - second[2]);
}

const SIMULATIONS: Readonly<Record<Exclude<Vision, 'usual'>, readonly Triple[]>> = {
  protan: [
    [0.152286, 1.052583, -0.204868],
    [0.114503, 0.786281, 0.099216],
    [-0.003882, -0.048116, 1.051998],
  ],
  deutan: [
    [0.367322, 0.860646, -0.227968],
    [0.280085, 0.672501, 0.047413],
    [-0.01182, 0.04294, 0.968881],
  ],
  tritan: [
    [1.255528, -0.076749, -0.178779],
    [-0.078411, 0.930809, 0.147602],
    [0.004733, 0.691367, 0.3039],
  ],
};

function linear(colour: string): Triple {
  const channel = (at: number) => {
    const value = Number.parseInt(colour.slice(at, at + 2), 16) / 255;
    return value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4;
  };
  return [channel(1), channel(3), channel(5)];
}

function luminance(colour: string): number {
  const [red, green, blue] = linear(colour);
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
}

function seen(rgb: Triple, vision: Vision): Triple {
  if (vision === 'usual') return rgb;
  const [red, green, blue] = SIMULATIONS[vision].map((row) => clamped(dot(row, rgb)));
  return [red ?? 0, green ?? 0, blue ?? 0];
}

/** From linear sRGB by IEC 61966-2-1 to L*a*b* with white point D65. */
function lab(rgb: Triple): Triple {
  const x = dot([0.4124, 0.3576, 0.1805], rgb) / 0.9505;
  const y = dot([0.2126, 0.7152, 0.0722], rgb);
  const z = dot([0.0193, 0.1192, 0.9505], rgb) / 1.089;
  const f = (value: number) =>
    value > (6 / 29) ** 3 ? Math.cbrt(value) : value / (3 * (6 / 29) ** 2) + 4 / 29;
  return [116 * f(y) - 16, 500 * (f(x) - f(y)), 200 * (f(y) - f(z))];
}

function dot(one: Triple, other: Triple): number {
  return one[0] * other[0] + one[1] * other[1] + one[2] * other[2];
}

function clamped(value: number): number {
  return Math.min(1, Math.max(0, value));
}
