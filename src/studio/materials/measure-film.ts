// The user's own film and printer, measured by a print: a strip of levels or a wedge sheet against a tablet test of the
// same coating.
import { filmWarningWords } from "#shared/words/materials/film-words.ts";
import { inWords } from "#shared/words/sentences.ts";
import type { Warning } from "#shared/schema/reading.ts";
import { filmFromPrint, type FilmFromPrint } from "#shared/film/film-from-print.ts";
import { filmInputSchema, type Film } from "#shared/schema/materials.ts";
import type { SavedTest } from "#shared/schema/test.ts";
import { changeFilm } from "./change-film.ts";
import type { Tools } from "#src/studio/tools.ts";

/** Tablet tests of the same lamp, support and coating that are looked at for a curve. */
const mostTests = 40;

export interface MeasuredFilm extends Omit<FilmFromPrint, "warnings"> {
  readonly warnings: readonly Warning[];
  /** The tablet test whose curve was used. */
  readonly throughTestId: string;
  /**
   * Whether both were printed together, as far as the records say. Two prints of one coating differ, and that
   * difference is taken for film.
   */
  readonly isSideBySide: boolean;
}

/** Tests made within this time of each other count as printed together [ms]. */
const togetherMs = 3_600_000;

/**
 * UV density of each grey level of a `levels` or `sheet` test.
 * @returns null when no tablet test of the same lamp, support and coating has a curve, or the test is of another kind
 *   or without its time
 * @throws InputError "not-found"
 */
export function filmOfTest({ store }: Pick<Tools, "store">, testId: string): MeasuredFilm | null {
  const test = store.tests.get(testId);
  const { tablet, exposureSeconds, lampId, supportId, coatingId } = test.request;
  if ((tablet.kind !== "levels" && tablet.kind !== "sheet") || exposureSeconds === undefined) return null;
  const through = tabletTestFor({ store }, test, { lampId, supportId, coatingId });
  if (through?.curve == null) return null;
  const { channel } = through.curve;
  const printed = test.reading.steps
    .filter((step) => !step.flags.includes("left-out"))
    .map((step) => ({
      level: step.input,
      density: channel === "red" ? step.red : step.visual,
      sigma: channel === "red" ? step.sigma : step.sigmaVisual,
    }));
  const film = filmFromPrint({ curve: through.curve, exposureSeconds, printed });
  const isSideBySide = arePrintedTogether(test, through);
  const facts = isSideBySide ? film.warnings : [...film.warnings, { code: "film-other-print" } as const];
  const warnings = inWords(facts, filmWarningWords);
  return { ...film, warnings, throughTestId: through.id, isSideBySide };
}

function arePrintedTogether(a: SavedTest, b: SavedTest): boolean {
  if (a.pictureId === b.pictureId) return true;
  const [first, second] = [a, b].map((test) => Date.parse(test.request.madeAt ?? ""));
  return Math.abs((first ?? Number.NaN) - (second ?? Number.NaN)) <= togetherMs;
}

function tabletTestFor(
  { store }: Pick<Tools, "store">,
  test: SavedTest,
  combination: { lampId: string; supportId: string; coatingId: string },
): SavedTest | undefined {
  const distance = test.request.lampDistanceMm ?? null;
  return (["transmission", "timed"] as const)
    .flatMap((tabletKind) => store.tests.list({ ...combination, tabletKind, verdict: "ok", limit: mostTests }).tests)
    .map((summary) => store.tests.get(summary.id))
    .find(
      (each) => each.curve !== null && !each.request.filmInTest && (each.request.lampDistanceMm ?? null) === distance,
    );
}

/**
 * Keeps base and densest black, as far as they were measured, with the film of the test for the light of the test;
 * only of a strip printed together with its tablet. They are also the film's one number for other lights, as long as
 * it was measured in no other.
 * @throws InputError "not-found"
 */
export function keepMeasuredFilm({ store }: Pick<Tools, "store">, testId: string): Film | null {
  const film = filmOfTest({ store }, testId);
  const { request, createdAt } = store.tests.get(testId);
  const { filmId, lampId } = request;
  if (film === null || !film.isSideBySide || !filmId) return null;
  const before = store.films.get(filmId);
  const others = (before.inLights ?? []).filter((each) => each.lampId !== lampId);
  const old = before.inLights?.find((each) => each.lampId === lampId);
  const measuredAt = request.madeAt ?? createdAt;
  const inLight = { lampId, ...densitiesOr(film, old), measuredAt };
  // Times of tests made on this film hang on its density.
  return changeFilm(
    { store },
    filmId,
    filmInputSchema.parse({
      ...before,
      inLights: [...others, inLight],
      ...(others.length === 0 ? densitiesOr(film, before) : {}),
    }),
  );
}

type Densities = Pick<Film, "baseDensity" | "baseSigmaDensity" | "maxDensity">;

/** What was measured, and what was known before of the rest. */
function densitiesOr(film: MeasuredFilm, before: Densities | undefined): Densities {
  const maxDensity = film.maxDensity ?? before?.maxDensity ?? null;
  if (film.baseDensity === null)
    return { baseDensity: before?.baseDensity, baseSigmaDensity: before?.baseSigmaDensity, maxDensity };
  return { baseDensity: Math.max(0, film.baseDensity), baseSigmaDensity: film.baseSigmaDensity, maxDensity };
}
