// A studio behind the web: one lamp of known size, others, two supports and three films, and tests drawn from a curve.
import type { Express } from "express";
import request from "supertest";
import { curveImaging, picturedCurve, shoulderAboveMiddle } from "../curve-imaging.ts";
import { testApp } from "../test-app.ts";

/** A test's curve and time, and whatever else its request shall say. */
type TestWish = Record<string, unknown> & {
  middle?: number;
  net?: number;
  exposureSeconds?: number;
  seed?: number;
};

export interface LookupStudio {
  readonly app: Express;
  readonly ids: Readonly<Record<string, string>>;
  make(resource: string, body: object): Promise<string>;
  saveTest(wish?: TestWish): Promise<string>;
}

export async function lookupStudio(): Promise<LookupStudio> {
  const { app } = testApp({ imaging: curveImaging() });
  const make = async (resource: string, body: object): Promise<string> =>
    (await request(app).post(`/api/${resource}`).send(body).expect(201)).body.id as string;
  const ids = {
    lamp: await make("lamps", { name: "Box", kind: "led", widthMm: 600, heightMm: 600, distanceMm: 150 }),
    other: await make("lamps", { name: "Old box", kind: "tubes" }),
    sun: await make("lamps", { name: "Sun", kind: "sun" }),
    paper: await make("supports", { name: "Paper" }),
    cotton: await make("supports", { name: "Cotton", kind: "fabric" }),
    blue: await make("coatings", { name: "Blue" }),
    film: await make("films", { name: "Clear film", baseDensity: 0.1 }),
    thick: await make("films", { name: "Thick film", baseDensity: 0.3 }),
    strange: await make("films", { name: "Strange film" }),
  };

  return { app, ids, make, saveTest: (wish = {}) => saveTest(app, ids, wish) };
}

async function saveTest(
  app: Express,
  ids: LookupStudio["ids"],
  {
    middle = 2,
    net = 1.4,
    // Long enough past the shoulder that the last steps are flat.
    exposureSeconds = 10 ** (middle + shoulderAboveMiddle + 0.8),
    seed = 1,
    ...metadata
  }: TestWish,
): Promise<string> {
  const answer = await request(app)
    .post("/api/tests")
    .attach("photo", picturedCurve({ middle, net, exposureSeconds, seed }), "curve.jpg")
    .field(
      "request",
      JSON.stringify({
        tablet: { kind: "transmission", steps: 21, increment: 0.15, firstDensity: 0.05 },
        lampId: ids["lamp"],
        supportId: ids["paper"],
        coatingId: ids["blue"],
        filmId: ids["film"],
        exposureSeconds,
        ...metadata,
      }),
    )
    .expect(201);
  return answer.body.id as string;
}
