// The trade's terms in one sentence each, for whoever meets them for the first time.

export interface Term {
  /** Part of the address: /help/terms#key. */
  readonly key: string;
  readonly name: string;
  readonly sentence: string;
  /** Page of docs/ that says more, without ending. */
  readonly page: string;
}

export const terms: readonly Term[] = [
  {
    key: "step-tablet",
    name: "Step tablet",
    sentence:
      "A strip of film whose steps grow denser by known amounts, so that one exposure prints many; a photo of it " +
      "tells how coating and light answer.",
    page: "tutorial/first-calibration",
  },
  {
    key: "density",
    name: "Density",
    sentence:
      "How dark a tone is: the logarithm of how many times less light it gives back than the bare paper; 0.3 is " +
      "half the light, 1.0 a tenth.",
    page: "explanation/from-picture-to-density",
  },
  {
    key: "log-h",
    name: "log H",
    sentence:
      "Exposure counted in powers of ten, here of seconds in clear light: 2 is 100 seconds, 3 is 1000; 0.3 more " +
      "is twice the exposure, one stop.",
    page: "explanation/why-log-exposure",
  },
  {
    key: "stop",
    name: "Stop",
    sentence: "Twice or half the exposure; a third of a stop is 26 percent more.",
    page: "explanation/why-log-exposure",
  },
  {
    key: "characteristic-curve",
    name: "Characteristic curve",
    sentence: "Density against exposure: how this coating under this light turns light into blue.",
    page: "explanation/why-log-exposure",
  },
  {
    key: "toe",
    name: "Toe",
    sentence: "Where the curve leaves the paper: the exposure that gives the first tone one can tell from bare paper.",
    page: "explanation/why-log-exposure",
  },
  {
    key: "shoulder",
    name: "Shoulder",
    sentence: "Where the curve bends over: nine tenths of the deepest blue are reached, and more light adds little.",
    page: "explanation/where-the-range-comes-from",
  },
  {
    key: "d-max",
    name: "D-max",
    sentence: "The deepest blue that the coating can give on this paper or cloth, read from the fitted curve.",
    page: "explanation/from-picture-to-density",
  },
  {
    key: "d-min",
    name: "D-min",
    sentence: "What the clear areas keep after washing: stain or fog, counted from bare paper.",
    page: "explanation/from-picture-to-density",
  },
  {
    key: "log-exposure-range",
    name: "Log exposure range",
    sentence:
      "How far toe and shoulder lie apart: the range of densities that a negative should have to use all of the " +
      "coating's tones.",
    page: "how-to/correct-the-next-negative",
  },
  {
    key: "average-gradient",
    name: "Average gradient",
    sentence: "The contrast between toe and shoulder: density gained for each unit of log exposure.",
    page: "explanation/why-log-exposure",
  },
  {
    key: "base-density",
    name: "Base density",
    sentence:
      "What the clear film itself holds back of the ultraviolet light; it lengthens every print made through it.",
    page: "how-to/calibrate-a-uv-box",
  },
  {
    key: "lightness",
    name: "L*",
    sentence: "Lightness as eyes see it, from 0 (black) to 100 (white); one unit is about the least that one can tell.",
    page: "explanation/from-picture-to-density",
  },
  {
    key: "range",
    name: "95 % range",
    sentence: "The true value lies inside in 95 of 100 such tests; outside in five, and nobody can say in which.",
    page: "explanation/where-the-range-comes-from",
  },
  {
    key: "dose",
    name: "Dose",
    sentence: "Sunlight added up over time, weighted by what the coating answers to; a cloud takes part of it away.",
    page: "explanation/the-sun-as-a-lamp",
  },
];

/** The term of a name, whatever its capitals; undefined where it needs no words. */
export function termNamed(name: string): Term | undefined {
  return terms.find((term) => term.name.toLowerCase() === name.toLowerCase());
}
