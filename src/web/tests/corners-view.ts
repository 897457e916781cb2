// The corners page's view object: the picture, the strip as it lies now, and its boxes.
import { boxMarginShare } from "#shared/limits.ts";
import { formatDensity } from "#shared/format/number.ts";
import { homographyFromCorners, mapBox, mapPoint } from "#shared/reading/corners/homography.ts";
import { placeDoubts } from "#shared/reading/corners/place-doubts.ts";
import type { Corners, Reading, Tablet } from "#shared/schema/reading.ts";
import { declaredSteps } from "#shared/tablet/step-inputs.ts";
import type { FormValues } from "#src/web/parts/form-values.ts";

export interface CornersView {
  readonly action: string;
  readonly lead: string;
  readonly notice: { readonly tone: "note" | "caution" | "stop"; readonly text: string } | null;
  readonly pictureId: string;
  readonly width: number;
  readonly height: number;
  readonly strokePx: number;
  readonly cornerFields: readonly {
    readonly name: string;
    readonly words: string;
    readonly x: string;
    readonly y: string;
  }[];
  readonly strip: string;
  readonly boxes: readonly string[];
  readonly ends: readonly { readonly x: number; readonly y: number; readonly text: string }[];
  readonly hidden: readonly { readonly name: string; readonly value: string }[];
  readonly saveLabel: string;
  /** Where one may go instead of saving; null goes back to the form with everything that was typed. */
  readonly back: { readonly href: string; readonly label: string } | null;
  readonly steps: readonly { readonly index: number; readonly density: string; readonly flags: string }[];
  /** What the reading says of the place, in sentences. */
  readonly doubts: readonly string[];
}

/** What the page's script starts from. */
export interface CornersData {
  readonly pictureId: string;
  readonly width: number;
  readonly height: number;
  readonly corners: Corners;
  readonly tablet: Tablet;
  readonly steps: number | null;
  readonly reading: Reading | null;
  /** On the strip laid level, or by asking for its corners where no place has a fair chance. */
  readonly begins: "level" | "taps";
}

/** Where a first guess of the corners lies, as shares of the picture: a strip across its middle. */
const firstGuess = { left: 0.15, right: 0.85, top: 0.4, bottom: 0.6 };

export const cornerWords = ["1, top left of the tablet", "2, top right", "3, bottom right", "4, bottom left"] as const;

/** Corners to start from where nothing was found: a strip across the picture's longer side. */
export function guessedCorners(width: number, height: number): Corners {
  const { left, right, top, bottom } = firstGuess;
  if (width >= height) {
    return [
      [left * width, top * height],
      [right * width, top * height],
      [right * width, bottom * height],
      [left * width, bottom * height],
    ];
  }
  // Upright picture: the strip runs downwards, so that its top left is the picture's top right.
  return [
    [bottom * width, left * height],
    [bottom * width, right * height],
    [top * width, right * height],
    [top * width, left * height],
  ];
}

function pointsText(points: readonly (readonly [number, number])[]): string {
  return points.map(([x, y]) => `${Math.round(x)},${Math.round(y)}`).join(" ");
}

function boxesOf(
  corners: Corners,
  steps: number,
): { boxes: Corners[]; ends: [readonly [number, number], readonly [number, number]] } {
  const map = homographyFromCorners(corners);
  const boxes = Array.from({ length: steps }, (_, index) =>
    mapBox(map, {
      u0: (index + boxMarginShare) / steps,
      u1: (index + 1 - boxMarginShare) / steps,
      v0: boxMarginShare,
      v1: 1 - boxMarginShare,
    }),
  );
  return { boxes, ends: [mapPoint(map, 0.5 / steps, 0.5), mapPoint(map, 1 - 0.5 / steps, 0.5)] };
}

export interface CornersPageParts {
  readonly action: string;
  readonly lead: string;
  readonly notice: CornersView["notice"];
  readonly pictureId: string;
  readonly picture: { readonly width: number; readonly height: number };
  readonly corners: Corners;
  readonly tablet: Tablet;
  readonly reading: Reading | null;
  /** Whether the corners are more than a strip across the picture. */
  readonly isPlaceKnown: boolean;
  /** Everything typed before, carried along. */
  readonly carried: FormValues;
  readonly saveLabel: string;
  readonly back: CornersView["back"];
}

export function cornersPage(parts: CornersPageParts): { readonly view: CornersView; readonly data: CornersData } {
  const { corners, picture, reading, tablet } = parts;
  const steps = declaredSteps(tablet);
  let drawn: ReturnType<typeof boxesOf> | null = null;
  try {
    drawn = steps === null ? null : boxesOf(corners, steps);
  } catch {
    // Corners on one line have no boxes; the outline alone shows what is wrong.
  }
  const { width, height } = picture;
  return {
    view: {
      action: parts.action,
      lead: parts.lead,
      notice: parts.notice,
      pictureId: parts.pictureId,
      width,
      height,
      strokePx: Math.max(1, Math.round(Math.max(width, height) / 400)),
      cornerFields: corners.map(([x, y], index) => ({
        name: `corners.${index}`,
        words: cornerWords[index] ?? "",
        x: String(Math.round(x * 10) / 10),
        y: String(Math.round(y * 10) / 10),
      })),
      strip: pointsText(corners),
      boxes: drawn?.boxes.map(pointsText) ?? [],
      ends:
        drawn === null || steps === null
          ? []
          : [
              { x: drawn.ends[0][0], y: drawn.ends[0][1], text: "1" },
              { x: drawn.ends[1][0], y: drawn.ends[1][1], text: String(steps) },
            ],
      hidden: Object.entries(parts.carried).flatMap(([name, value]) =>
        name.startsWith("corners.") || value === "" ? [] : [{ name, value }],
      ),
      saveLabel: parts.saveLabel,
      back: parts.back,
      steps:
        reading?.steps.map((step) => ({
          index: step.index,
          density: formatDensity(step.red),
          flags: step.flags.join(", "),
        })) ?? [],
      doubts: placeDoubts(reading?.warnings ?? []),
    },
    data: {
      pictureId: parts.pictureId,
      width,
      height,
      corners,
      tablet,
      steps,
      reading,
      begins: parts.isPlaceKnown ? "level" : "taps",
    },
  };
}
