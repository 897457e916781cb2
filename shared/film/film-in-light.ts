// A film as the light of one lamp finds it: clear film and ink hold back more of one colour of ultraviolet than of
// another.
import type { Film, FilmInLight as Entry, Lamp } from "#shared/schema/materials.ts";

/** Standard uncertainty of a base density that nobody measured with one of its own. common practice, no source */
export const usualFilmSigma = 0.02;
/**
 * How the density of one film's clear base differs between lamps of one kind, and between kinds (standard deviation):
 * clear inkjet film 0.10 to 0.20 at 365 nm, 0.04 to 0.10 at 395 to 405 nm. from memory
 */
const withinKindSigma = 0.012;
const betweenKindsSigma = 0.025;

/** Where a density comes from. */
export type FilmBasis =
  /** Measured in the light of this lamp. */
  | "this-lamp"
  /** Measured in the light of lamps of its kind. */
  | "lamp-kind"
  /** The film's one number. */
  | "one-number";

/** A film with its densities in one lamp's light, null where nothing is known of them. */
export interface LitFilm extends Film {
  readonly basis: FilmBasis;
  /** Of `baseSigmaDensity`, what is in error alike under all lamps, and what is this lamp's own [density]. */
  readonly commonSigma: number;
  readonly lampSigma: number;
}

/**
 * A film's densities in the light of a lamp: as measured there, else as measured in the light of lamps of its kind,
 * else the film's one number. The less it is of this lamp, the less sure it is; in a studio with one kind of light the
 * one number is of that.
 * @param lamps all of the studio
 * Source: common practice, no source.
 */
export function filmInLight(film: Film, lamp: Pick<Lamp, "id" | "kind">, lamps: readonly Lamp[]): LitFilm {
  const entries = film.inLights ?? [];
  const own = entries.filter(({ lampId }) => lampId === lamp.id);
  const alike = new Set(lamps.filter(({ kind, id }) => kind === lamp.kind && id !== lamp.id).map(({ id }) => id));
  const ofKind = entries.filter(({ lampId }) => alike.has(lampId));
  const black = meanOf(own, "maxDensity") ?? meanOf(ofKind, "maxDensity") ?? film.maxDensity ?? null;
  const lit = (basis: FilmBasis, baseDensity: number, commonSigma: number, lampSigma: number): LitFilm => ({
    ...film,
    baseDensity,
    baseSigmaDensity: Math.hypot(commonSigma, lampSigma),
    maxDensity: black,
    basis,
    commonSigma,
    lampSigma,
  });
  const ownBase = meanOf(own, "baseDensity");
  if (ownBase !== null) return lit("this-lamp", ownBase, 0, sigmaOf(own));
  const kindBase = meanOf(ofKind, "baseDensity");
  if (kindBase !== null) return lit("lamp-kind", kindBase, 0, Math.hypot(sigmaOf(ofKind), withinKindSigma));
  const one = film.baseDensity ?? null;
  if (one === null)
    return { ...film, baseDensity: null, maxDensity: black, basis: "one-number", commonSigma: 0, lampSigma: 0 };
  const isOneKind = lamps.every(({ kind }) => kind === lamp.kind);
  return lit("one-number", one, film.baseSigmaDensity ?? usualFilmSigma, isOneKind ? 0 : betweenKindsSigma);
}

function meanOf(entries: readonly Entry[], field: "baseDensity" | "maxDensity"): number | null {
  const known = entries.flatMap((each) => each[field] ?? []);
  return known.length === 0 ? null : known.reduce((sum, value) => sum + value, 0) / known.length;
}

/** Standard uncertainty of the mean of measured bases. */
function sigmaOf(entries: readonly Entry[]): number {
  const known = entries.filter(({ baseDensity }) => baseDensity != null);
  return Math.hypot(...known.map(({ baseSigmaDensity }) => baseSigmaDensity ?? usualFilmSigma)) / known.length;
}
