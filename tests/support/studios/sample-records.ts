// Small made-up records for store and web tests. The numbers describe no real print.
import type { Assessment, Curve } from "#shared/schema/curve.ts";
import type { Reading } from "#shared/schema/reading.ts";
import { testRequestSchema, type SavedTest, type TestRequest } from "#shared/schema/test.ts";
import type { TestRecord } from "#src/store/records/test-columns.ts";
import type { Store } from "#src/store/store.ts";

/** A reading of five steps, lightest step last. */
export function sampleReading(): Reading {
  const densities = [1.32, 1.18, 0.7, 0.22, 0.03];
  return {
    image: { width: 600, height: 200, bitsPerChannel: 8, profile: "sRGB (assumed, untagged)" },
    location: {
      method: "given",
      corners: [
        [50, 50],
        [550, 50],
        [550, 150],
        [50, 150],
      ],
      confidence: 1,
    },
    steps: densities.map((density, index) => ({
      index: index + 1,
      input: 0.05 + index * 0.3,
      red: density,
      visual: density * 0.8,
      lightness: 100 - density * 55,
      sigma: 0.01,
      sigmaVisual: 0.01,
      centre: [100 + index * 100, 100],
      box: [
        [60 + index * 100, 60],
        [140 + index * 100, 60],
        [140 + index * 100, 140],
        [60 + index * 100, 140],
      ],
      flags: [],
    })),
    warnings: [],
  };
}

function sampleAssessment(): Assessment {
  return {
    curve: null,
    exposure: {
      seconds: 240,
      lowerSeconds: 210,
      upperSeconds: 280,
      targetShare: 0.9,
      filmDensity: 0.1,
      verdict: "ok",
      nextTestSeconds: null,
      reasons: ["Made up for a test."],
    },
    warnings: [],
  };
}

/** A curve of which only the shoulder counts, for tests of what many tests tell together. */
export function curveWithShoulder(logH: number): Curve {
  return {
    channel: "red",
    family: "symmetric-sigmoid",
    dMin: 0,
    dMax: 1.3,
    points: { toe: null, mid: null, shoulder: { logH, density: 1.17 } },
    logExposureRange: null,
    averageGradient: null,
    samples: [],
    steps: [],
    sigmaLogH: { toe: null, shoulder: 0.02 },
    shareSigmas: [],
    parameters: [],
    covariance: [],
    residualDensity: 0.01,
    degreesOfFreedom: 15,
    reversalFromLogH: null,
  };
}

export interface SampleMaterials {
  readonly lampId: string;
  readonly supportId: string;
  readonly coatingId: string;
  readonly filmId: string;
}

export function saveSampleMaterials(store: Store): SampleMaterials {
  return {
    lampId: store.lamps.create({ name: "Box", notes: "", kind: "tubes", archived: false }).id,
    supportId: store.supports.create({ name: "Paper", notes: "", kind: "paper", archived: false }).id,
    coatingId: store.coatings.create({ name: "Blue", notes: "", archived: false }).id,
    filmId: store.films.create({ name: "Clear film", notes: "", baseDensity: 0.1, device: "", archived: false }).id,
  };
}

export function sampleRequest(materials: SampleMaterials, changes: Partial<TestRequest> = {}): TestRequest {
  return testRequestSchema.parse({
    tablet: { kind: "transmission", steps: 5, increment: 0.3, firstDensity: 0.05 },
    corners: [
      [50, 50],
      [550, 50],
      [550, 150],
      [50, 150],
    ],
    ...materials,
    exposureSeconds: 480,
    ...changes,
  });
}

/** Writes a picture and its row. */
export async function savePicture(store: Store, text = "picture"): Promise<string> {
  const picture = await store.pictures.write(new TextEncoder().encode(text));
  store.pictures.keep(picture);
  store.pictures.letGo(picture);
  return picture.id;
}

export function sampleTestRecord(
  materials: SampleMaterials,
  pictureId: string,
  changes: Partial<TestRequest> = {},
): TestRecord {
  return {
    invented: false,
    request: sampleRequest(materials, changes),
    pictureId,
    furtherPictures: { photos: [], evenLight: null },
    reading: sampleReading(),
    ...sampleAssessment(),
    madeBy: "0.0.0",
  };
}

/** A test with its materials and its picture, saved. */
export async function saveSampleTest(store: Store): Promise<SavedTest> {
  const record = sampleTestRecord(saveSampleMaterials(store), await savePicture(store));
  return store.transaction(() => store.tests.save(record));
}
