// The pages over plain HTTP, as a browser without script sends and gets them.
import request from "supertest";
import { describe, expect, it } from "vitest";
import { InputError } from "#shared/errors.ts";
import type { ReadingJob } from "#src/imaging/jobs.ts";
import { fakeImaging } from "../support/fake-imaging.ts";
import { sampleReading } from "../support/studios/sample-records.ts";
import { testApp } from "../support/test-app.ts";
import { appWith, preview, typed } from "../support/studios/typed-test.ts";

const picture = Buffer.from("a picture");

function sendForm(
  app: Parameters<typeof request>[0],
  fields: Readonly<Record<string, string>>,
  withPicture = true,
): request.Test {
  const sending = request(app).post("/tests/new").set("Accept", "text/html");
  for (const [name, value] of Object.entries(fields)) void sending.field(name, value);
  return withPicture ? sending.attach("photo", picture, "print.jpg") : sending;
}

describe("sending the new-test form", () => {
  it("saves the test and leads to its page", async () => {
    const { app, store } = appWith();
    const { headers } = await sendForm(app, typed).expect(303);
    const [test] = store.tests.list().tests;
    expect(headers.location).toBe(`/tests/${test?.id}`);
    const { text } = await request(app)
      .get(headers.location ?? "")
      .set("Accept", "text/html")
      .expect(200);
    expect(text).toContain("kept word for word");
  });

  it("with a field missing, says so and keeps words and picture, and adds no material", async () => {
    const { app, store } = appWith();
    const { text } = await sendForm(app, { ...typed, newCoatingName: "" }).expect(400);
    expect(text).toContain("Choose the coating, or add it.");
    expect(text).toContain("kept word for word");
    expect(text).toMatch(/name="pictureId" value="[0-9a-f]{64}"/);
    expect(store.lamps.list()).toEqual([]);
  });

  it("without a picture, asks for it", async () => {
    const { text } = await sendForm(appWith().app, typed, false).expect(400);
    expect(text).toContain("Choose the picture of the print, or give an instrument");
  });

  it("twice with the same new names, adds each name once", async () => {
    const { app, store } = appWith();
    await sendForm(app, typed).expect(303);
    await sendForm(app, { ...typed, newLampName: "BOX" }).expect(303);
    expect(store.lamps.list().map((lamp) => lamp.name)).toEqual(["Box"]);
    expect(store.tests.count()).toBe(2);
  });

  it("when no tablet is found, shows corners at the best guess and what was typed; they finish it", async () => {
    let isFound = false;
    const { app, store } = appWith(() => {
      if (!isFound)
        throw new InputError("no-tablet-found", "No tablet was found: show its corners.", {
          extra: {
            confidence: 0.6,
            guess: [
              [61, 52],
              [540, 52],
              [540, 150],
              [61, 150],
            ],
          },
        });
      return sampleReading();
    });
    const { text } = await sendForm(app, typed).expect(422);
    expect(text).toContain("No tablet was found: show its corners.");
    expect(text).toContain('name="corners.0.0" value="61"');
    expect(text).toContain('name="notes" value="kept word for word"');
    const hidden = [...text.matchAll(/<input type="hidden" name="([^"]+)" value="([^"]*)">/g)].map(
      ([, name, value]) => [name, value],
    );
    const fields = Object.fromEntries([
      ...hidden,
      ...[
        [61, 52],
        [540, 52],
        [540, 150],
        [61, 150],
      ].flatMap(([x, y], index) => [
        [`corners.${index}.0`, String(x)],
        [`corners.${index}.1`, String(y)],
      ]),
    ]);
    isFound = true;
    await request(app).post("/tests/new").type("form").send(fields).expect(303);
    const [test] = store.tests.list().tests;
    expect(store.tests.get(test?.id ?? "").request).toMatchObject({
      notes: "kept word for word",
      corners: [
        [61, 52],
        [540, 52],
        [540, 150],
        [61, 150],
      ],
      exposureSeconds: 480,
    });
    expect(store.lamps.list()).toHaveLength(1);
  });

  const corners = [
    [61, 52],
    [540, 52],
    [540, 150],
    [61, 150],
  ] as const;
  /** The fields of a page as a browser would send them again: hidden ones, and ticked boxes. */
  const fieldsOf = (html: string): Record<string, string> =>
    Object.fromEntries(
      [...html.matchAll(/<input type="(?:hidden|checkbox)" name="([^"]+)" value="([^"]*)"( checked)?[^>]*>/g)]
        .filter(([tag, , , checked]) => !tag.includes("checkbox") || checked !== undefined)
        .map(([, name = "", value = ""]) => [name, value]),
    );
  /** An imaging pool that notes what it was asked to read. */
  function notingApp(measure: (read: { pictures: string[]; evenLight: string | undefined }) => unknown) {
    const text = (bytes: Uint8Array) => Buffer.from(bytes).toString();
    const read = { pictures: [] as string[], evenLight: undefined as string | undefined };
    const imaging = fakeImaging({
      preview,
      "measure-reading": (job) => {
        const { picture: bytes, evenLight } = job as ReadingJob;
        read.pictures.push(text(bytes));
        read.evenLight = evenLight === undefined ? undefined : text(evenLight);
        return measure(read);
      },
    });
    return { ...testApp({ imaging }), read };
  }
  const sendAll = (app: Parameters<typeof request>[0], fields: Readonly<Record<string, string>>): request.Test =>
    sendForm(app, fields)
      .attach("furtherPhoto", Buffer.from("a second picture"), "2.jpg")
      .attach("furtherPhoto", Buffer.from("a third picture"), "3.jpg")
      .attach("evenLight", Buffer.from("a sheet"), "sheet.jpg");

  it("when no tablet is found, keeps further pictures and the sheet: corners alone finish the test", async () => {
    let isFound = false;
    const { app, store, read } = notingApp(() => {
      if (!isFound) throw new InputError("no-tablet-found", "No tablet was found: show its corners.");
      return sampleReading();
    });
    const { text } = await sendAll(app, typed).expect(422);
    isFound = true;
    read.pictures.length = 0;
    const fields = {
      ...fieldsOf(text),
      ...Object.fromEntries(
        corners.flatMap(([x, y], index) => [
          [`corners.${index}.0`, String(x)],
          [`corners.${index}.1`, String(y)],
        ]),
      ),
    };
    await request(app).post("/tests/new").type("form").send(fields).expect(303);
    expect(read).toEqual({ pictures: ["a picture", "a second picture", "a third picture"], evenLight: "a sheet" });
    const [test] = store.tests.list().tests;
    const { furtherPictures } = store.tests.get(test?.id ?? "");
    expect(furtherPictures.photos).toHaveLength(2);
    expect(Buffer.from(await store.pictures.read(furtherPictures.evenLight ?? "")).toString()).toBe("a sheet");
  });

  it("from the corners back to the form, keeps every picture and what was typed, and forgets the corners", async () => {
    const { app, store } = notingApp(() => {
      throw new InputError("no-tablet-found", "No tablet was found: show its corners.");
    });
    const { text } = await sendAll(app, typed).expect(422);
    const sent = { ...fieldsOf(text), again: "form", "corners.0.0": "61", "corners.0.1": "52" };
    const { text: form } = await request(app).post("/tests/new").type("form").send(sent).expect(200);
    expect(form).toContain("kept word for word");
    expect(Object.keys(fieldsOf(form)).filter((name) => name.startsWith("furtherPictureId"))).toHaveLength(2);
    expect(fieldsOf(form)["pictureId"]).toBe(fieldsOf(text)["pictureId"]);
    expect(form).not.toContain('value="61"');
    expect(store.tests.count()).toBe(0);
  });

  it("with a field missing, keeps further pictures and sheet, save one unticked or replaced", async () => {
    const { app, read } = notingApp(sampleReading);
    const { text } = await sendAll(app, { ...typed, newCoatingName: "" }).expect(400);
    expect(text).toContain("Further picture 2 is kept.");
    const { "furtherPictureId.0": _unticked, ...kept } = fieldsOf(text);
    await sendForm(app, { ...typed, ...kept }, false)
      .attach("evenLight", Buffer.from("another sheet"), "sheet.jpg")
      .expect(303);
    expect(read).toEqual({ pictures: ["a picture", "a third picture"], evenLight: "another sheet" });
  });

  it("through the corners, names pictures by id: each is stored, shown small once, read from kept pixels", async () => {
    let isFound = false;
    const imaging = fakeImaging({
      preview,
      "measure-reading": () => {
        if (!isFound) throw new InputError("no-tablet-found", "Not found.", { extra: { guess: null } });
        return sampleReading();
      },
    });
    const { app, store } = testApp({ imaging });
    const { text } = await sendAll(app, typed).expect(422);
    isFound = true;
    await request(app).post("/tests/new").type("form").send(fieldsOf(text)).expect(303);
    const { pictureId, furtherPictures } = store.tests.get(store.tests.list().tests[0]!.id);
    // One small picture each for the four files; the size for the corners page comes from the first bytes alone.
    expect(imaging.asked.filter((name) => name === "preview")).toHaveLength(4);
    expect(imaging.asked.filter((name) => name === "inspect-picture")).toHaveLength(1);
    // Kept pixels go by the picture together with the plain sheet, whose light is kept with them.
    const besideSheet = (id: string): string => `${id} ${furtherPictures.evenLight}`;
    expect(imaging.keptAs).toEqual([pictureId, pictureId, ...furtherPictures.photos].map(besideSheet));
    expect(store.pictures.list()).toHaveLength(4);
  });

  it("when no tablet is found in a further picture, says in which, and asks for no corners of the first", async () => {
    const { app, read } = notingApp(({ pictures }) => {
      if (pictures.at(-1) === "a second picture") throw new InputError("no-tablet-found", "No tablet was found.");
      return sampleReading();
    });
    const { text } = await sendAll(app, typed).expect(422);
    expect(text).toContain("No tablet was found in picture 2: take it again, or leave it out.");
    expect(text).not.toContain("Where is the tablet?");
    const { "furtherPictureId.0": _unticked, ...kept } = fieldsOf(text);
    read.pictures.length = 0;
    await sendForm(app, { ...typed, ...kept }, false).expect(303);
    expect(read.pictures).toEqual(["a picture", "a third picture"]);
  });

  it("when a further file is no picture, says so and keeps the rest", async () => {
    const { app } = testApp({
      imaging: fakeImaging({
        preview: (job) => {
          if (Buffer.from((job as ReadingJob).picture).toString() === "a third picture")
            throw new InputError("not-a-picture", "This file is not a picture.");
          return preview();
        },
        "measure-reading": sampleReading,
      }),
    });
    const { text } = await sendAll(app, { ...typed, newCoatingName: "" }).expect(400);
    expect(text).toContain("This file is not a picture.");
    expect(Object.keys(fieldsOf(text))).toEqual(expect.arrayContaining(["evenLightPictureId", "furtherPictureId.0"]));
    expect(Object.keys(fieldsOf(text))).not.toContain("furtherPictureId.1");
  });

  it("escapes what was typed", async () => {
    const { text } = await sendForm(appWith().app, {
      ...typed,
      notes: "<script>alert(1)</script>",
      exposureMinutes: "",
    }).expect(400);
    expect(text).not.toContain("<script>alert(1)");
  });
});
