// The two pictures of a tone curve: the curve itself, and the scale that it was found from.
import { lightnessPerDensity } from "#shared/correction/tone-scale.ts";
import { cameraToneLightness } from "#shared/correction/tones-from-reading.ts";
import { formatFixed, formatLightness } from "#shared/format/number.ts";
import { plotAxis, type PlotSpec } from "#shared/format/plot.ts";
import type { Correction } from "#shared/schema/correction.ts";
import { rangeSigmas } from "#shared/statistics/normal-distribution.ts";

const greyAxis = {
  label: "",
  min: 0,
  max: 255,
  ticks: [0, 32, 64, 96, 128, 160, 192, 224, 255].map((at) => ({ at, label: String(at) })),
};

/** From this density above paper on, the camera's own curve counts in full. Our judgement. */
const cameraDoubtFullDensity = 0.2;

export function curvePlot(correction: Correction): PlotSpec {
  return {
    title: "Tone curve",
    summary:
      "For each grey level that the picture asks for, the level to send to the film printer. The straight line " +
      "would be no change; the dots are the points to type.",
    x: { ...greyAxis, label: "grey level in the picture (0 = darkest blue, 255 = paper)" },
    y: { ...greyAxis, label: "grey level to send" },
    series: [
      { name: "Correction", kind: "line", look: 1, points: correction.levels.map((y, x) => ({ x, y })) },
      {
        name: "No change",
        kind: "line",
        look: 6,
        points: [
          { x: 0, y: 0 },
          { x: 255, y: 255 },
        ],
      },
      {
        name: "Points to type",
        kind: "points",
        look: 2,
        points: correction.points.map(({ input, output }) => ({
          x: input,
          y: output,
          label: `${input} becomes ${output}`,
        })),
      },
    ],
  };
}

export function scalePlot(correction: Correction): PlotSpec {
  const { lightness } = correction.measured;
  const levels = correction.tones.map((tone) => tone.level);
  const [lowest, highest] = [Math.min(...levels), Math.max(...levels)];
  const cameraDoubt = correction.warnings.some(({ code }) => code === "tones-by-camera") ? cameraToneLightness : 0;
  return {
    title: "What your film, lamp and coating did to the tones",
    summary:
      "Lightness of each printed grey level with its 95 % range, the smooth scale through them, and the straight " +
      "scale that the correction aims at.",
    x: { ...greyAxis, label: "grey level (0 = darkest blue, 255 = paper)" },
    y: plotAxis("lightness L* of the print", [...lightness, ...correction.tones.map((tone) => tone.lightness)], {
      count: 6,
    }),
    series: [
      {
        name: "Measured scale",
        kind: "line",
        look: 1,
        points: lightness.flatMap((y, x) => (x >= lowest && x <= highest ? [{ x, y }] : [])),
      },
      { name: "Scale wanted", kind: "line", look: 3, points: correction.wantedLightness.map((y, x) => ({ x, y })) },
      {
        name: "Tones read",
        kind: "points",
        look: 2,
        points: correction.tones.map((tone) => {
          const ofReading = rangeSigmas * tone.sigma * lightnessPerDensity(tone.lightness);
          // A camera's curve leaves paper white where it is.
          const reach = Math.hypot(ofReading, cameraDoubt * Math.min(1, tone.density / cameraDoubtFullDensity));
          return {
            x: tone.level,
            y: tone.lightness,
            lower: tone.lightness - reach,
            upper: tone.lightness + reach,
            label:
              `Level ${formatFixed(tone.level, 0)}: L* ${formatLightness(tone.lightness)} ± ` +
              `${formatLightness(reach)}`,
          };
        }),
      },
    ],
  };
}
