// What the studio's model is told: tests with their time, prints with how they came out, tests that only bound the
// time, and what is known to have changed.

/** With what, where and when: of a test, of a print, or of a question. */
export interface Circumstances {
  readonly lampId: string;
  readonly supportId: string;
  readonly coatingId: string;
  /** Batch of the coating; null when nobody noted it. */
  readonly batchId: string | null;
  /** Film over the coating, with its density under this lamp; null: bare. */
  readonly film: FilmOver | null;
  /**
   * From the lamp's reference distance: shift of log seconds and its signed standard uncertainty, as the lamp's shape
   * tells them.
   */
  readonly distance: { readonly shiftLogH: number; readonly sigmaLogH: number } | null;
  /** Hours on the lamp's meter; null when they are not kept. */
  readonly lampHours: number | null;
  readonly humidityPercent: number | null;
  readonly finish: Finish;
  /** Instant [ms]. */
  readonly atMs: number;
}

/** How the print was finished; null where nobody said. */
export interface Finish {
  /** Washed with vinegar or citric acid first. */
  readonly acidWash: boolean | null;
  /** Through a bath of peroxide. */
  readonly peroxide: boolean | null;
  /** It had its final blue when it was read. */
  readonly oxidised: boolean | null;
}

/** Nothing is known of how it was finished. */
export const unknownFinish: Finish = { acidWash: null, peroxide: null, oxidised: null };

export interface FilmOver {
  readonly id: string;
  readonly density: number;
  /** Standard uncertainty of the density, in two parts: in error alike under all lamps, and under this one alone. */
  readonly commonSigma: number;
  readonly lampSigma: number;
}

/** What was seen of the log10 of the seconds that clear film needs to the wanted depth. */
export type Seen =
  | { readonly kind: "measured"; readonly logSeconds: number; readonly sigma: number }
  /** Somewhere between two bounds, either of which may be open; `sigma` says how sharp they are. */
  | { readonly kind: "between"; readonly lower: number | null; readonly upper: number | null; readonly sigma: number };

export interface Observation extends Circumstances {
  readonly id: string;
  /** What it shares with all that the same tablet measured; null where no tablet was used. */
  readonly tablet: { readonly id: string; readonly sigma: number } | null;
  readonly seen: Seen;
}

export type ChangeScope = "lamp" | "support" | "coating" | "batch" | "studio";

/** From here on, everything of its scope may be faster or slower than before. */
export interface ChangeEvent {
  readonly id: string;
  readonly scope: ChangeScope;
  /** Of the lamp, support, coating or batch; empty for the whole studio. */
  readonly scopeId: string;
  readonly atMs: number;
  /** How far such a change usually reaches [standard deviation, log10]. */
  readonly spread: number;
  /** Whether the lamp's hours begin anew, as with new tubes. */
  readonly isNewLight: boolean;
}

/** Whether something with these circumstances came after a change, and within its scope. */
export function isAfter(event: Pick<ChangeEvent, "scope" | "scopeId" | "atMs">, of: Circumstances): boolean {
  return of.atMs >= event.atMs && isInScope(event, of);
}

/** Whether a change would touch it, whenever it was. */
export function isInScope({ scope, scopeId }: Pick<ChangeEvent, "scope" | "scopeId">, of: Circumstances): boolean {
  switch (scope) {
    case "lamp":
      return of.lampId === scopeId;
    case "support":
      return of.supportId === scopeId;
    case "coating":
      return of.coatingId === scopeId;
    case "batch":
      return batchKey(of) === scopeId;
    case "studio":
      return true;
  }
}

/** A batch belongs to its coating; empty without one. */
export function batchKey({ coatingId, batchId }: Pick<Circumstances, "coatingId" | "batchId">): string {
  return batchId === null ? "" : `${coatingId} ${batchId}`;
}
