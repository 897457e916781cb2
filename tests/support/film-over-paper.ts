// A film over matt paper, reckoned by following light through it: Snell's law and Fresnel's formulas for unpolarised
// light (any textbook of optics; at normal incidence ((n - 1) / (n + 1))^2 = 0.04 for n = 1.5), absorption by the
// length of the path, all orders of reflection inside the film and between film and paper summed.
const index = 1.5;

function surfaceReflectance(cosine: number): number {
  const inside = Math.sqrt(1 - (1 - cosine ** 2) / index ** 2);
  const s = ((cosine - index * inside) / (cosine + index * inside)) ** 2;
  const p = ((inside - index * cosine) / (inside + index * cosine)) ** 2;
  return (s + p) / 2;
}

/** Transmittance and reflectance of a film for light at an angle; `inner` is what its body passes straight through. */
function film(cosine: number, inner: number): { passed: number; returned: number } {
  const r = surfaceReflectance(cosine);
  const through = inner ** (1 / Math.sqrt(1 - (1 - cosine ** 2) / index ** 2));
  const sum = 1 - (r * through) ** 2;
  return { passed: ((1 - r) ** 2 * through) / sum, returned: r + ((1 - r) ** 2 * r * through ** 2) / sum };
}

/** Mean over diffuse light: the square of the sine is evenly spread. */
function diffuse(of: (cosine: number) => number): number {
  const count = 400;
  return Array.from({ length: count }, (_, i) => of(Math.sqrt(1 - (i + 0.5) / count))).reduce((a, b) => a + b) / count;
}

/**
 * Density beside bare paper of a film step of a transmission density, light at an angle or diffuse ("sky"), camera
 * straight above.
 */
export function densityOverPaper(filmDensity: number, lightDegrees: number | "sky", paper: number): number {
  const inner = innerOf(filmDensity);
  const down =
    lightDegrees === "sky"
      ? diffuse((cosine) => film(cosine, inner).passed)
      : film(Math.cos((lightDegrees * Math.PI) / 180), inner).passed;
  const back = diffuse((cosine) => film(cosine, inner).returned);
  return -Math.log10((down * film(1, inner).passed) / (1 - paper * back));
}

/** What the body of a film of a transmission density passes of light straight through it. */
function innerOf(density: number): number {
  let [low, high] = [0, 1];
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (-Math.log10(film(1, middle).passed) > density) low = middle;
    else high = middle;
  }
  return low;
}
