/** A colour as red, green and blue, 0 to 1 each, as a screen takes them. */
export type Rgb = readonly [number, number, number];

/** How somebody sees: as most do, without one of the three cones, or a print without colours. */
export type Vision = "usual" | "protan" | "deutan" | "tritan" | "grey";

/** @param css  `#rrggbb`, or `rgba(r,g,b,a)` laid over `under` */
export function colorOf(css: string, under: Rgb = [1, 1, 1]): Rgb {
  const hex = /^#([0-9a-f]{2})([0-9a-f]{2})([0-9a-f]{2})$/i.exec(css);
  if (hex !== null) return [parseInt(hex[1]!, 16) / 255, parseInt(hex[2]!, 16) / 255, parseInt(hex[3]!, 16) / 255];
  const rgba = /^rgba\(([\d.]+),([\d.]+),([\d.]+),([\d.]+)\)$/.exec(css.replaceAll(" ", ""));
  if (rgba === null) throw new Error(`expected #rrggbb or rgba(), got ${css}`);
  const share = Number(rgba[4]);
  const over = (i: 0 | 1 | 2): number => share * (Number(rgba[i + 1]) / 255) + (1 - share) * under[i];
  return [over(0), over(1), over(2)];
}

/** A share of one colour over another, as a texture looks from afar. */
export function mixed(ink: Rgb, paper: Rgb, share: number): Rgb {
  const of = (i: 0 | 1 | 2): number => share * ink[i] + (1 - share) * paper[i];
  return [of(0), of(1), of(2)];
}

/**
 * Without one kind of cone altogether, on linear light: Machado, Oliveira and Fernandes 2009, "A physiologically-based model for
 * simulation of color vision deficiency", severity 1.0; the figures from memory.
 */
const MACHADO: Readonly<Record<"protan" | "deutan" | "tritan", readonly (readonly [number, number, number])[]>> = {
  protan: [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]],
  deutan: [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.01182, 0.04294, 0.968881]],
  tritan: [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.3039]],
};

/** A colour as it is seen, in CIE L*a*b* under D65 (IEC 61966-2-1 for the primaries, CIE 15 for the rest). */
export function seen(color: Rgb, vision: Vision): readonly [L: number, a: number, b: number] {
  const linear = color.map((part) => (part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4));
  const light = vision === "usual" || vision === "grey" ? linear
    : MACHADO[vision].map((row) => Math.max(0, Math.min(1, row.reduce((sum, weight, i) => sum + weight * linear[i]!, 0))));
  const [r, g, b] = light as [number, number, number];
  const x = (0.4124564 * r + 0.3575761 * g + 0.1804375 * b) / 0.95047;
  const y = 0.2126729 * r + 0.7151522 * g + 0.072175 * b;
  const z = (0.0193339 * r + 0.119192 * g + 0.9503041 * b) / 1.08883;
  const f = (t: number): number => (t > 216 / 24389 ? Math.cbrt(t) : (24389 / 27 * t + 16) / 116);
  const L = 116 * f(y) - 16;
  return vision === "grey" ? [L, 0, 0] : [L, 500 * (f(x) - f(y)), 200 * (f(y) - f(z))];
}

/**
 * The colour difference CIEDE2000.
 *
 * @source  Sharma, Wu and Dalal 2005, "The CIEDE2000 color-difference formula: implementation notes, supplementary test data, and
 * mathematical observations", equations 2 to 22; from memory, held to their test data in colors.test.ts
 */
export function colorDifference([L1, a1, b1]: readonly [number, number, number], [L2, a2, b2]: readonly [number, number, number]): number {
  const mean = (Math.hypot(a1, b1) + Math.hypot(a2, b2)) / 2;
  const g = 0.5 * (1 - Math.sqrt(mean ** 7 / (mean ** 7 + 25 ** 7)));
  const [A1, A2] = [(1 + g) * a1, (1 + g) * a2];
  const [C1, C2] = [Math.hypot(A1, b1), Math.hypot(A2, b2)];
  const hue = (a: number, b: number): number => (a === 0 && b === 0 ? 0 : (Math.atan2(b, a) * 180 / Math.PI + 360) % 360);
  const [h1, h2] = [hue(A1, b1), hue(A2, b2)];
  const turn = C1 * C2 === 0 ? 0 : h2 - h1 > 180 ? h2 - h1 - 360 : h2 - h1 < -180 ? h2 - h1 + 360 : h2 - h1;
  const dH = 2 * Math.sqrt(C1 * C2) * Math.sin(rad(turn / 2));
  const [L, C] = [(L1 + L2) / 2, (C1 + C2) / 2];
  const half = (h1 + h2) / 2;
  const h = C1 * C2 === 0 ? h1 + h2 : Math.abs(h1 - h2) <= 180 ? half : h1 + h2 < 360 ? half + 180 : half - 180;
  const t = 1 - 0.17 * Math.cos(rad(h - 30)) + 0.24 * Math.cos(rad(2 * h))
    + 0.32 * Math.cos(rad(3 * h + 6)) - 0.2 * Math.cos(rad(4 * h - 63));
  const sL = 1 + (0.015 * (L - 50) ** 2) / Math.sqrt(20 + (L - 50) ** 2);
  const [sC, sH] = [1 + 0.045 * C, 1 + 0.015 * C * t];
  const twist = -Math.sin(rad(60 * Math.exp(-(((h - 275) / 25) ** 2)))) * 2 * Math.sqrt(C ** 7 / (C ** 7 + 25 ** 7));
  const [l, c, d] = [(L2 - L1) / sL, (C2 - C1) / sC, dH / sH];
  return Math.sqrt(l * l + c * c + d * d + twist * c * d);
}

function rad(degrees: number): number {
  return (degrees * Math.PI) / 180;
}
