// What the last test was made with: a new one begins there, and only what differs is chosen anew.
import { formatDay } from "#shared/format/instant.ts";
import type { TestRequest } from "#shared/schema/test.ts";
import { tabletForRequest } from "#shared/tablet/own-tablet.ts";
import type { StoreReader } from "#src/store/store.ts";
import type { FormValues } from "#src/web/parts/form-values.ts";
import { formValuesOf } from "./saved-form.ts";
import { ownTabletValue } from "./tablet-form.ts";

/** Newest tests among which the last one of one's own is looked for, before the invented ones. */
const newestLooked = 50;

const materialFields = ["lampId", "supportId", "coatingId", "filmId", "filmInTest"] as const;
const materialKinds = { lampId: "lamps", supportId: "supports", coatingId: "coatings", filmId: "films" } as const;
const tabletFields = [
  "tabletChoice",
  "steps",
  "increment",
  "firstDensity",
  "densities",
  "toleranceDensity",
  "scaleSigmaShare",
  "baseSigmaDensity",
  "timedTimes",
  "timedUnit",
  "levels",
] as const;
const habits = ["channel", "lampDistanceMm", "wash", "peroxide"] as const;

export interface AsBefore {
  readonly values: FormValues;
  /** Says where the choices come from; empty when there was no test before. */
  readonly words: string;
}

/**
 * Materials, tablet and habits of the last test.
 * @param asked what the address already says: where it names a material or a tablet, none is taken from the last test
 */
export function valuesAsBefore(store: StoreReader, asked: FormValues): AsBefore {
  const { tests } = store.tests.list({ limit: newestLooked });
  const last = tests.find(({ invented }) => !invented) ?? tests[0];
  if (last === undefined) return { values: onlyOnes(store), words: "" };
  const request = store.tests.get(last.id).request;
  const before: FormValues = { ...formValuesOf(request), ...ownTablet(store, request) };
  const namesMaterial = ["lampId", "supportId", "coatingId"].some((name) => asked[name] !== undefined);
  const taken = [
    ...(namesMaterial
      ? []
      : materialFields
          .filter((name) => isStillThere(store, name, before))
          .filter((name) => name !== "lampId" || asked["newLampName"] === undefined)),
    ...(asked["tabletChoice"] === undefined ? tabletFields : []),
    ...habits,
  ];
  return {
    values: Object.fromEntries(taken.flatMap((name) => (before[name] === undefined ? [] : [[name, before[name]]]))),
    words: namesMaterial ? "" : `Chosen as in your last test, of ${formatDay(last.madeAt)}: change what is different.`,
  };
}

/** Name of a first coating, which seldom has one; it is changed where it is typed, or later. */
const firstCoatingName = "My usual mix";

/** Materials of which there is a single one. */
function onlyOnes(store: StoreReader): FormValues {
  const chosen = (["lampId", "supportId", "coatingId"] as const).flatMap((name) => {
    const [only, ...more] = store[materialKinds[name]].list();
    return only === undefined || more.length > 0 ? [] : [[name, only.id]];
  });
  const hasNoCoating = store.coatings.list({ archived: true }).length === 0;
  return { ...(hasNoCoating ? { newCoatingName: firstCoatingName } : {}), ...Object.fromEntries(chosen) };
}

/** A material that was put away is not chosen by itself. */
function isStillThere(store: StoreReader, name: (typeof materialFields)[number], values: FormValues): boolean {
  return name === "filmInTest" || store[materialKinds[name]].list().some(({ id }) => id === values[name]);
}

/** The studio's own tablet that a test was made with, by its densities. */
function ownTablet(store: StoreReader, { tablet }: TestRequest): FormValues {
  if (tablet.kind !== "transmission" || !("densities" in tablet)) return {};
  const own = store.tablets
    .list()
    .find((each) => JSON.stringify(tabletForRequest(each).densities) === JSON.stringify(tablet.densities));
  return own === undefined ? {} : { tabletChoice: ownTabletValue(own.id) };
}
