// Colours of the ground. The hold is drawn as light and shadow: one ramp, even in lightness (OKLab), from a
// slate shade to warm light, along the blue-yellow axis that all common kinds of colour blindness
// keep. Levels and rates use cividis (Nunez, Anderson, Renslow 2018), classes Okabe and Ito's set
// (2008), each class with a hatch as its second cue.
export type Rgb = [number, number, number]; // sRGB, 0 to 255

/** OKLab to sRGB; matrices by B. Ottosson, "A perceptual color space for image processing", 2020. */
export function fromOklab(L: number, a: number, b: number): Rgb {
  const l = (L + 0.3963377774 * a + 0.2158037573 * b) ** 3;
  const m = (L - 0.1055613458 * a - 0.0638541728 * b) ** 3;
  const s = (L - 0.0894841775 * a - 1.291485548 * b) ** 3;
  const linear = [
    4.0767416621 * l - 3.3077115913 * m + 0.2309699292 * s,
    -1.2684380046 * l + 2.6097574011 * m - 0.3413193965 * s,
    -0.0041960863 * l - 0.7034186147 * m + 1.707614701 * s,
  ];
  return linear.map((v) => {
    const c = Math.min(1, Math.max(0, v));
    return Math.round(255 * (c <= 0.0031308 ? 12.92 * c : 1.055 * c ** (1 / 2.4) - 0.055));
  }) as Rgb;
}

const shade = { L: 0.44, a: -0.006, b: -0.055 };
const light = { L: 0.965, a: 0.002, b: 0.052 };

/** Light and shadow: t = 0 in the shade, 1 in the light. */
export function lightAndShadow(t: number): Rgb {
  const at = (from: number, to: number): number => from + (to - from) * Math.min(1, Math.max(0, t));
  return fromOklab(at(shade.L, light.L), at(shade.a, light.a), at(shade.b, light.b));
}

/** Every 17th row of cividis' table of 256 (Nunez, Anderson, Renslow, PLOS ONE 13(7), 2018). */
const cividisRows: Rgb[] = [
  [0, 0.135112, 0.304751], [0, 0.18161, 0.421859], [0.117612, 0.225935, 0.434308], [0.208926, 0.272546, 0.424809],
  [0.279411, 0.318677, 0.423031], [0.342246, 0.364939, 0.428559], [0.401418, 0.41179, 0.440708], [0.458366, 0.459552, 0.460457],
  [0.51792, 0.508454, 0.472707], [0.582087, 0.55867, 0.468118], [0.648222, 0.610553, 0.454801], [0.716177, 0.664384, 0.432386],
  [0.785965, 0.720438, 0.399613], [0.857809, 0.778969, 0.353259], [0.93218, 0.840159, 0.28588], [0.995737, 0.909344, 0.217772],
];

export function cividis(t: number): Rgb {
  const at = Math.min(1, Math.max(0, t)) * (cividisRows.length - 1);
  const row = Math.min(cividisRows.length - 2, Math.floor(at));
  const [low, high] = [cividisRows[row]!, cividisRows[row + 1]!];
  return low.map((v, k) => Math.round(255 * (v + (at - row) * (high[k]! - v)))) as Rgb;
}

export function css([r, g, b]: Rgb): string {
  return `rgb(${r}, ${g}, ${b})`;
}

/** Hatches, as the ground's shader and the static map draw them. */
export type Hatch = 'plain' | 'sparse' | 'slant' | 'back' | 'cross' | 'dots' | 'level' | 'upright';
export const hatches: Hatch[] = ['plain', 'sparse', 'slant', 'back', 'cross', 'dots', 'level', 'upright'];

/** The hold's second cue: the fainter the hold, the denser the hatch. */
export function holdHatch(p: number): Hatch {
  return p >= 0.9 ? 'plain' : p >= 0.5 ? 'sparse' : p >= 0.1 ? 'slant' : 'cross';
}

export interface ClassLook {
  colour: string;
  hatch: Hatch;
}

export const sightLooks: Record<string, ClassLook> = {
  los: { colour: '#f3e9c8', hatch: 'plain' },
  olos: { colour: '#e69f00', hatch: 'dots' },
  nlos: { colour: '#56789f', hatch: 'slant' },
  none: { colour: '#bdbdbd', hatch: 'plain' },
};

export const causeLooks: Record<string, ClassLook> = {
  none: { colour: '#f3e9c8', hatch: 'plain' },
  distance: { colour: '#999999', hatch: 'level' },
  sector: { colour: '#cc79a7', hatch: 'upright' },
  terrain: { colour: '#d55e00', hatch: 'level' },
  building: { colour: '#0072b2', hatch: 'slant' },
  foliage: { colour: '#009e73', hatch: 'dots' },
  pole: { colour: '#4d4d4d', hatch: 'upright' },
  vehicle: { colour: '#e69f00', hatch: 'back' },
  object: { colour: '#f0e442', hatch: 'cross' },
  enclosure: { colour: '#56b4e9', hatch: 'cross' },
  body: { colour: '#a6761d', hatch: 'back' },
  unmapped: { colour: '#b0307a', hatch: 'cross' },
  load: { colour: '#7f7fbf', hatch: 'sparse' },
  position: { colour: '#c8c8c8', hatch: 'sparse' },
};

export function parseColour(hex: string): Rgb {
  return [1, 3, 5].map((i) => parseInt(hex.slice(i, i + 2), 16)) as Rgb;
}
