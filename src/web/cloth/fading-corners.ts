// Where a strip lies in a later picture: asked when it was not found, and mended when it was found wrongly.
import type { Response } from "express";
import { suggestFrom } from "#shared/reading/corners/finding-confidence.ts";
import { cornersSchema, type Corners } from "#shared/schema/reading.ts";
import type { FadingReading } from "#shared/schema/workshop/fading.ts";
import type { InputError } from "#shared/errors.ts";
import { pictureSize } from "#src/studio/tests/preview-picture.ts";
import type { Tools } from "#src/studio/tools.ts";
import type { FormValues } from "#src/web/parts/form-values.ts";
import { renderPage } from "#src/web/parts/render.ts";
import { problemFrom } from "#src/web/problem.ts";
import { cornersPage, guessedCorners } from "#src/web/tests/corners-view.ts";

/** Input errors that the right corners can mend. */
const mended = new Set(["no-tablet-found", "corners-impossible", "too-few-steps"]);

export const isMendedByCorners = (error: InputError): boolean => mended.has(error.code);

interface AskedCorners {
  readonly testId: string;
  readonly pictureId: string;
  readonly corners: Corners | undefined;
  /** A kept reading whose corners are to be mended; absent while one is being made. */
  readonly reading?: FadingReading;
  readonly problem: InputError | null;
  /** Everything typed before. */
  readonly carried: FormValues;
}

/** The likeliest corners, where they have a fair chance. */
function suggested(problem: InputError | null): Corners | undefined {
  const guess = cornersSchema.safeParse(problem?.extra?.["guess"]);
  return guess.success && Number(problem?.extra?.["confidence"]) >= suggestFrom ? guess.data : undefined;
}

export async function showFadingCorners(tools: Tools, response: Response, asked: AskedCorners): Promise<void> {
  const { testId, pictureId, reading, problem } = asked;
  const picture = await pictureSize(tools, pictureId);
  const known = asked.corners ?? suggested(problem) ?? reading?.corners ?? undefined;
  const page = `/tests/${testId}/fading`;
  const { view, data } = cornersPage({
    action: reading === undefined ? page : `${page}/${reading.id}/corners`,
    lead:
      "Drag the four handles onto the corners of the strip as it lies in this picture, step 1 at the first handle's " +
      "end. The densities beside it follow.",
    notice: problem === null ? null : { tone: "caution", text: problem.detail },
    pictureId,
    picture,
    corners: known ?? guessedCorners(picture.width, picture.height),
    tablet: tools.store.tests.get(testId).request.tablet,
    reading: null,
    isPlaceKnown: known !== undefined,
    carried: asked.carried,
    saveLabel: reading === undefined ? "Read the strip here" : "Keep these corners",
    back: reading === undefined ? null : { href: page, label: "Leave as it was" },
  });
  renderPage(
    response,
    "tests/corners",
    {
      title: "Where is the strip?",
      here: "tests",
      scripts: ["corners"],
      data,
      status: problem === null ? 200 : problemFrom(problem).status,
    },
    view,
  );
}
