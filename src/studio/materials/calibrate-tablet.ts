// Finds a tablet's densities in the studio's own light from its prints, and keeps them with it.
import { tabletFromPrints, type TabletInLight } from "#shared/film/tablet-from-prints.ts";
import type { Channel } from "#shared/schema/curve.ts";
import type { ReadingStep } from "#shared/schema/reading.ts";
import type { OwnTablet, TabletCalibration, TabletInput } from "#shared/schema/tablets.ts";
import type { SavedTest } from "#shared/schema/test.ts";
import { tabletForRequest } from "#shared/tablet/own-tablet.ts";
import { refusal } from "#shared/words/refusal-words.ts";
import type { StoreReader } from "#src/store/store.ts";
import type { Tools } from "#src/studio/tools.ts";
import { changeWithTests, type FollowedTablet } from "./follow-tablet.ts";

/** A scale known no better than this says nothing that the label does not. */
const worstScaleSigma = 0.1;

export interface CalibratedTablet extends FollowedTablet {
  readonly found: TabletInLight;
}

/**
 * Finds and keeps the tablet's densities in the studio's light; the tests made with it follow.
 * @throws InputError "not-found"; "bad-request" where steps do not match, or the prints do not tell the densities
 */
export async function calibrateTablet(
  tools: Pick<Tools, "store" | "assessThread">,
  id: string,
  asked: TabletCalibration,
  at: string = new Date().toISOString(),
): Promise<CalibratedTablet> {
  const { store } = tools;
  const before = store.tablets.get(id);
  const { sigmaDensity } = asked;
  const saved = asked.testIds.map((testId) => store.tests.get(testId));
  const printTestIds = saved.filter(({ request }) => request.tablet.kind === "transmission").map((test) => test.id);
  const exposures = [...asked.exposures, ...saved.flatMap(tabletPrintOf)];
  const timed = [...asked.timed, ...saved.flatMap(bareStripOf)];
  const lampId = asked.lampId ?? saved[0]?.request.lampId;
  const odd = exposures.find(({ densities }) => densities.length !== before.densities.length);
  if (odd !== undefined)
    throw refusal(
      "bad-request",
      { code: "other-count-of-steps", tabletSteps: before.densities.length, printSteps: odd.densities.length },
      { field: "exposures" },
    );
  const found = tabletFromPrints({ labels: before.densities, exposures, timed, sigmaDensity });
  if (found === null || found.scaleSigma > worstScaleSigma)
    throw refusal("bad-request", { code: "prints-tell-no-densities" }, { field: "exposures" });
  const followed = await changeWithTests(tools, id, calibrated(before, { found, lampId, at }), printTestIds);
  return { ...followed, found };
}

/** A saved test of a tablet as one of its prints; of anything else, none. */
function tabletPrintOf({ request, reading }: SavedTest): TabletCalibration["exposures"] {
  const { tablet, exposureSeconds: seconds, channel } = request;
  if (tablet.kind !== "transmission" || seconds === undefined) return [];
  return [{ seconds, densities: reading.steps.map((step) => (isTrusted(step) ? densityOf(step, channel) : null)) }];
}

/** A saved test of a strip uncovered in steps as bare patches of known time; of anything else, none. */
function bareStripOf({ request, reading }: SavedTest): TabletCalibration["timed"] {
  if (request.tablet.kind !== "timed") return [];
  return reading.steps
    .filter(isTrusted)
    .map((step) => ({ seconds: step.input, density: densityOf(step, request.channel) }));
}

const densityOf = (step: ReadingStep, channel: Channel): number => (channel === "red" ? step.red : step.visual);

const isTrusted = ({ flags }: ReadingStep): boolean => flags.length === 0;

function calibrated(
  { id: _id, createdAt: _createdAt, updatedAt: _updatedAt, ...before }: OwnTablet,
  { found, lampId, at }: { found: TabletInLight; lampId: string | undefined; at: string },
): TabletInput {
  return {
    ...before,
    scale: found.scale,
    scaleSigmaShare: found.scaleSigma,
    ...(found.base === null ? {} : { baseShiftDensity: found.base, baseSigmaDensity: found.baseSigma }),
    calibratedAt: at,
    calibratedLampId: lampId ?? null,
  };
}

/**
 * A request that names one of the studio's tablets by `tabletId` and has no `tablet` of its own, with that tablet
 * written out; any other is left as it came.
 * @throws InputError "bad-request" for a tablet that is not there
 */
export function withOwnTablet(store: Pick<StoreReader, "tablets">, untrusted: object): object;
export function withOwnTablet(store: Pick<StoreReader, "tablets">, untrusted: unknown): unknown;
export function withOwnTablet(store: Pick<StoreReader, "tablets">, untrusted: unknown): unknown {
  if (typeof untrusted !== "object" || untrusted === null || "tablet" in untrusted || !("tabletId" in untrusted))
    return untrusted;
  const tablet = store.tablets.find(String(untrusted.tabletId));
  if (tablet === undefined)
    throw refusal("bad-request", { code: "no-such-ingredient", what: "tablet" }, { field: "tabletId" });
  return { ...untrusted, tablet: tabletForRequest(tablet) };
}
