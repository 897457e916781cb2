// The user's own film and printer, measured by a print: a strip of levels or a wedge sheet against a tablet test of the same coating.
import { filmFromPrint, type FilmFromPrint } from "#shared/exposure/film-from-print.ts";
import { filmInputSchema, type Film } from "#shared/schema/materials.ts";
import type { SavedTest } from "#shared/schema/test.ts";
import type { Tools } from "./tools.ts";

/** Tablet tests of the same lamp, support and coating that are looked at for a curve. */
const mostTests = 40;

export interface MeasuredFilm extends FilmFromPrint {
  /** The tablet test whose curve was used. */
  readonly throughTestId: string;
}

/**
 * UV density of each grey level of a `levels` or `sheet` test.
 * @returns null when no tablet test of the same lamp, support and coating has a curve, or the test is of another kind or without its time
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
    .map((step) => ({ level: step.input, density: channel === "red" ? step.red : step.visual, sigma: channel === "red" ? step.sigma : step.sigmaVisual }));
  return { ...filmFromPrint({ curve: through.curve, exposureSeconds, printed }), throughTestId: through.id };
}

function tabletTestFor({ store }: Pick<Tools, "store">, test: SavedTest, combination: { lampId: string; supportId: string; coatingId: string }): SavedTest | undefined {
  const distance = test.request.lampDistanceMm ?? null;
  return (["transmission", "timed"] as const)
    .flatMap((tabletKind) => store.tests.list({ ...combination, tabletKind, verdict: "ok", limit: mostTests }).tests)
    .map((summary) => store.tests.get(summary.id))
    .find((each) => each.curve !== null && !each.request.filmInTest && (each.request.lampDistanceMm ?? null) === distance);
}

/**
 * Keeps base and densest black, as far as they were measured, with the film of the test.
 * @throws InputError "not-found"
 */
export function keepMeasuredFilm({ store }: Pick<Tools, "store">, testId: string): Film | null {
  const film = filmOfTest({ store }, testId);
  const { filmId } = store.tests.get(testId).request;
  if (film === null || !filmId) return null;
  const before = store.films.get(filmId);
  return store.films.replace(filmId, filmInputSchema.parse({ ...before, baseDensity: film.baseDensity === null ? before.baseDensity : Math.max(0, film.baseDensity), maxDensity: film.maxDensity ?? before.maxDensity }));
}
