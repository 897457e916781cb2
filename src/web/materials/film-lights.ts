// A film under each light of the studio: what was measured, what is taken where nothing was, and how to measure it.
import { filmInLight, type FilmBasis } from "#shared/film/film-in-light.ts";
import { formatDuration } from "#shared/format/duration.ts";
import { formatDay } from "#shared/format/instant.ts";
import { formatFixed } from "#shared/format/number.ts";
import { rangeSigmas } from "#shared/statistics/normal-distribution.ts";
import type { Film } from "#shared/schema/materials.ts";
import type { StoreReader } from "#src/store/store.ts";
import type { FieldOrder, FormNames } from "#src/web/parts/form-errors.ts";
import { numberOf, textOf, type FormValues } from "#src/web/parts/form-values.ts";

const basisWords: Readonly<Record<FilmBasis, string>> = {
  "this-lamp": "measured here",
  "lamp-kind": "as under another light of its kind",
  "one-number": "the film's one number",
};

interface FilmLightRow {
  readonly lampId: string;
  readonly lamp: string;
  /** "0.12 ± 0.03", its half width the 95 % range; "not known". */
  readonly base: string;
  readonly black: string;
  readonly basis: string;
  readonly isMeasured: boolean;
  /** Half the newest time through this film under this light; null without one. */
  readonly halfTime: string | null;
}

/** How the form names what the film's schema names. */
export const filmLightNames: FormNames = [
  [/^inLights\.\d+\.baseDensity$/, "lightBaseDensity"],
  [/^inLights\.\d+\.baseSigmaDensity$/, "lightBaseSigmaDensity"],
  [/^inLights\.\d+\.maxDensity$/, "lightMaxDensity"],
  [/^inLights/, "lightId"],
];
export const filmLightLabels = {
  lightId: "Light",
  lightBaseDensity: "Density of the clear film",
  lightBaseSigmaDensity: "Give or take",
  lightMaxDensity: "Density of the densest black",
};
export const filmLightOrder: FieldOrder = [
  ["lightId", "light-id"],
  ["lightBaseDensity", "light-base"],
  ["lightBaseSigmaDensity", "light-sigma"],
  ["lightMaxDensity", "light-black"],
];

export function filmLightRows(store: StoreReader, film: Film): FilmLightRow[] {
  const lamps = store.lamps.list({ archived: true });
  const entries = new Map((film.inLights ?? []).map((each) => [each.lampId, each]));
  return lamps
    .filter(({ archived, id }) => !archived || entries.has(id))
    .map((lamp) => {
      const { baseDensity, baseSigmaDensity, maxDensity, basis } = filmInLight(film, lamp, lamps);
      const entry = entries.get(lamp.id);
      const newest = store.tests
        .list({ lampId: lamp.id, filmId: film.id, limit: 20 })
        .tests.find(({ exposure }) => exposure.seconds !== null);
      return {
        lampId: lamp.id,
        lamp: lamp.name,
        base:
          baseDensity == null
            ? "not known"
            : `${formatFixed(baseDensity, 2)} ± ${formatFixed(rangeSigmas * (baseSigmaDensity ?? 0), 2)}`,
        black: maxDensity == null ? "not known" : formatFixed(maxDensity, 2),
        basis:
          baseDensity == null
            ? ""
            : [basisWords[basis], ...(entry?.measuredAt ? [formatDay(entry.measuredAt)] : [])].join(", "),
        isMeasured: entry !== undefined,
        halfTime: newest?.exposure.seconds == null ? null : formatDuration(newest.exposure.seconds / 2),
      };
    });
}

/**
 * The film's measured densities with those that a form typed in for one light, or took away; not yet checked by the
 * film's schema.
 */
export function filmLightChanges(film: Film, values: FormValues, today: string): Record<string, unknown> {
  const removed = textOf(values, "remove");
  const lampId = removed === "" ? textOf(values, "lightId") : removed;
  const others = (film.inLights ?? []).filter((each) => each.lampId !== lampId);
  if (removed !== "") return { inLights: others };
  const entry = {
    lampId,
    baseDensity: numberOf(values, "lightBaseDensity") ?? null,
    baseSigmaDensity: numberOf(values, "lightBaseSigmaDensity") ?? null,
    maxDensity: numberOf(values, "lightMaxDensity") ?? null,
    measuredAt: today,
  };
  return { inLights: [...others, entry] };
}
