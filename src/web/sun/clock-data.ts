import type { ClockPageData, ClockPlan } from "#shared/schema/sun-clock.ts";
import type { SunExposureAnswer } from "#shared/schema/sun.ts";
import type { StoreReader } from "#src/store/store.ts";
import type { SunForm } from "./form.ts";

/** What the dose clock needs of a plan. */
export function doseClockData(store: StoreReader, form: SunForm, answer: SunExposureAnswer | null): ClockPageData {
  const { request } = form;
  if (
    request === null ||
    answer?.seconds == null ||
    answer.dose === null ||
    answer.lowerDose === null ||
    answer.upperDose === null
  )
    return { plan: null };
  return {
    plan: {
      scene: {
        latitude: request.latitude,
        longitude: request.longitude,
        tiltDegrees: request.tiltDegrees,
        facingDegrees: request.facingDegrees,
        elevationM: request.elevationM ?? 0,
        sky: answer.sky,
        ground: request.ground ?? "grass",
        haze: answer.haze,
        glass: answer.glass,
      },
      timeZone: form.clock.name,
      wanted: {
        dose: answer.dose,
        lowerLn: Math.log(answer.dose / answer.lowerDose),
        upperLn: Math.log(answer.upperDose / answer.dose),
      },
      anchorNames: answer.anchors.map((anchor) => anchor.name),
      materials: sharedMaterials(store, answer),
    },
  };
}

function sharedMaterials(store: StoreReader, answer: SunExposureAnswer): ClockPlan["materials"] {
  const each = answer.anchors.map(({ kind, id }) =>
    kind === "test" ? store.tests.find(id)?.request : store.sunAnchors.find(id),
  );
  const common = (field: "supportId" | "coatingId" | "filmId"): string | null => {
    const ids = new Set(each.map((anchor) => anchor?.[field] ?? null));
    return ids.size === 1 ? ([...ids][0] ?? null) : null;
  };
  return { supportId: common("supportId"), coatingId: common("coatingId"), filmId: common("filmId") };
}
