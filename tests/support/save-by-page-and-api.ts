// The same test sent once by the page's form and once by the API.
import type { Express } from "express";
import request from "supertest";
import type { SavedTest } from "#shared/schema/test.ts";

/** Sends the new-test form with a picture; gives the answer, whatever it is. */
export function sendForm(app: Express, fields: Readonly<Record<string, string>>, picture: Buffer): request.Test {
  let sending = request(app).post("/tests/new").set("Accept", "text/html");
  for (const [name, value] of Object.entries(fields)) sending = sending.field(name, value);
  return sending.attach("photo", picture, "print.jpg");
}

/** The page of the test that the form became. */
export async function savedByForm(
  app: Express,
  fields: Readonly<Record<string, string>>,
  picture: Buffer,
): Promise<{ readonly id: string; readonly page: string; readonly saved: SavedTest }> {
  const { headers } = await sendForm(app, fields, picture).expect(303);
  const address = headers["location"] as string;
  const id = address.split("/").at(-1) ?? "";
  const page = (await request(app).get(address).set("Accept", "text/html").expect(200)).text;
  const saved = (await request(app).get(`/api/tests/${id}`).expect(200)).body as SavedTest;
  return { id, page, saved };
}

/** The test as the API answers it. */
export async function savedByApi(app: Express, asked: object, picture: Buffer): Promise<SavedTest> {
  const { body } = await request(app)
    .post("/api/tests")
    .attach("photo", picture, "print.jpg")
    .field("request", JSON.stringify(asked))
    .expect(201);
  return body as SavedTest;
}
