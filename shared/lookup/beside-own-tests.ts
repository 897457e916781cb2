// What moves the time of a combination beside its own tests: prints that were judged, changes that were noted, and
// what the rest of the studio says.
import { isAfter, type Circumstances, type Observation } from "#shared/studio-model/observation.ts";
import type { StudioFit } from "#shared/studio-model/studio-fit.ts";
import { knownLogSeconds } from "#shared/studio-model/unknowns.ts";
import type { Provenance } from "./lookup-facts.ts";
import type { ExposureInput } from "./lookup-input.ts";

/**
 * A time that lies further from the mean of its own tests is explained [log10]: a twentieth, which shows on any clock.
 * common practice, no source
 */
const explainedLogSeconds = 0.02;

interface Asked {
  readonly input: ExposureInput;
  /** What the time is for. */
  readonly of: Circumstances;
  /** Tests of the combination that count. */
  readonly testIds: ReadonlySet<string>;
  /** log10 of the seconds that the model gives. */
  readonly logSeconds: number;
}

/**
 * The change that was noted last, the prints that were judged, and by how much all that is not its own tests moves the
 * time, each where there is such.
 */
export function besideOwnTests({ input, of, testIds, logSeconds }: Asked): Provenance[] {
  const { fit } = input;
  const own = fit.observations.filter(({ id }) => testIds.has(id));
  const change = lastNotedChange(fit, of, own);
  const since = change === null ? own : own.filter((each) => isAfter(change, each));
  return [
    ...(change === null || (change.scope !== "lamp" && change.scope !== "support" && change.scope !== "coating")
      ? []
      : [
          {
            code: "since-change",
            scope: change.scope,
            since: new Date(change.atMs).toISOString(),
            tests: since.length,
            before: own.length - since.length,
          } as const,
        ]),
    ...judgedPrints(input, of),
    // Where something is found to have changed unnoted, the tests by themselves say two things.
    ...(fit.found.some((event) => isAfter(event, of) && since.some((each) => !isAfter(event, each)))
      ? []
      : ownMean({ of, logSeconds, shift: input.shareShift, since })),
  ];
}

/** The last change that somebody noted and that parts tests of the combination from the time asked for. */
function lastNotedChange({ events, found }: StudioFit, of: Circumstances, own: readonly Observation[]) {
  const noted = events.filter(
    (event) => !found.includes(event) && isAfter(event, of) && own.some((each) => !isAfter(event, each)),
  );
  return noted.sort((a, b) => b.atMs - a.atMs)[0] ?? null;
}

/** Prints of the combination that were judged, by how they came out; those of every batch. */
function judgedPrints({ fit, tests }: ExposureInput, of: Circumstances): Provenance[] {
  const ofTests = new Set(tests.map(({ id }) => id));
  const seen = fit.observations.flatMap((each) =>
    each.lampId === of.lampId &&
    each.supportId === of.supportId &&
    each.coatingId === of.coatingId &&
    each.seen.kind === "between" &&
    !ofTests.has(each.id)
      ? [each.seen]
      : [],
  );
  if (seen.length === 0) return [];
  const tooLight = seen.filter(({ upper }) => upper === null).length;
  const tooDark = seen.filter(({ lower }) => lower === null).length;
  return [{ code: "judged-prints", tooLight, right: seen.length - tooLight - tooDark, tooDark }];
}

/** What the tests since the last noted change say by themselves, where that is another time. */
function ownMean({
  of,
  logSeconds,
  shift,
  since,
}: Pick<Asked, "of" | "logSeconds"> & {
  readonly shift: ExposureInput["shareShift"];
  readonly since: readonly Observation[];
}): Provenance[] {
  const logs = since.flatMap((each) =>
    each.seen.kind === "measured" ? [each.seen.logSeconds - knownLogSeconds(each)] : [],
  );
  if (logs.length === 0 || shift === "not-reached") return [];
  const mean = logs.reduce((sum, each) => sum + each, 0) / logs.length + knownLogSeconds(of);
  if (Math.abs(mean - logSeconds) < explainedLogSeconds) return [];
  return [{ code: "own-mean", tests: logs.length, seconds: 10 ** (mean + shift.shiftLogH) }];
}
