// The time of a new print, where the tests of what is chosen tell it.
import request from "supertest";
import { beforeEach, describe, expect, it } from "vitest";
import { lookupStudio, type LookupStudio } from "../../support/studios/lookup-studio.ts";

let studio: LookupStudio;

beforeEach(async () => {
  studio = await lookupStudio();
});

const chosen = (changes: object = {}): Record<string, string> => {
  const { lamp, paper, blue, film } = studio.ids;
  return { lampId: lamp!, supportId: paper!, coatingId: blue!, filmId: film!, minutes: "", seconds: "", ...changes };
};

const begin = (fields: object) => request(studio.app).post("/prints/new").type("form").send(fields);

/** Hidden and visible fields of the form that came back. */
function fieldsOf(page: string): Record<string, string> {
  const names = ["minutes", "seconds", "timeOf", "advisedSeconds", "advisedLowerSeconds", "advisedUpperSeconds"];
  return Object.fromEntries(
    names.flatMap((name) => {
      const value = new RegExp(`name="${name}"[^>]*value="([^"]*)"`).exec(page)?.[1];
      return value === undefined ? [] : [[name, value]];
    }),
  );
}

async function timeOf(changes: object = {}): Promise<number> {
  const { minutes: _minutes, seconds: _seconds, ...query } = chosen(changes);
  return (await request(studio.app).get("/api/exposures").query(query).expect(200)).body.seconds as number;
}

describe("the form of a new print", () => {
  it("sent without a time, fills in that of the tests, and begins by it when sent again", async () => {
    await studio.saveTest();
    const { text } = await begin(chosen()).expect(200);
    expect(text).toContain("Time filled in");
    const fields = fieldsOf(text);
    const seconds = Math.round(await timeOf());
    expect(Number(fields["minutes"]) * 60 + Number(fields["seconds"])).toBe(seconds);
    expect((await request(studio.app).get("/api/prints")).body.prints).toHaveLength(0);
    await begin(chosen(fields)).expect(303);
    const { prints } = (await request(studio.app).get("/api/prints")).body;
    expect(prints[0]).toMatchObject({ exposureSeconds: seconds, advice: { seconds: await timeOf() } });
  });

  it("opened for a tested combination, has its time", async () => {
    await studio.saveTest();
    const { minutes: _minutes, seconds: _seconds, ...query } = chosen();
    const fields = fieldsOf((await request(studio.app).get("/prints/new").query(query).expect(200)).text);
    expect(Number(fields["minutes"]) * 60 + Number(fields["seconds"])).toBe(Math.round(await timeOf()));
  });

  it("when other paper is chosen after the time was filled in, takes that one's time", async () => {
    await studio.saveTest();
    const { cotton } = studio.ids;
    await studio.saveTest({ middle: 2.3, supportId: cotton });
    const first = fieldsOf((await begin(chosen()).expect(200)).text);
    const second = fieldsOf((await begin(chosen({ ...first, supportId: cotton })).expect(200)).text);
    expect(Number(second["minutes"]) * 60 + Number(second["seconds"])).toBe(
      Math.round(await timeOf({ supportId: cotton })),
    );
    await begin(chosen({ ...second, supportId: cotton })).expect(303);
  });

  it("when what is chosen then was never tested, asks for a time and drops the other's", async () => {
    await studio.saveTest();
    const first = fieldsOf((await begin(chosen()).expect(200)).text);
    const { text } = await begin(chosen({ ...first, lampId: studio.ids["other"] })).expect(400);
    expect(text).toContain("was for another combination");
    expect(fieldsOf(text)["minutes"]).toBe("");
  });

  it("keeps a time that somebody typed, whatever the tests say", async () => {
    await studio.saveTest();
    await begin(chosen({ minutes: "7", seconds: "30" })).expect(303);
    expect((await request(studio.app).get("/api/prints")).body.prints[0].exposureSeconds).toBe(450);
  });

  it("when the tests contradict each other, fills in nothing and says so", async () => {
    await studio.saveTest({ middle: 2 });
    await studio.saveTest({ middle: 2.5 });
    const { text } = await begin(chosen()).expect(400);
    expect(text).toContain("Tests disagree: retest");
    expect(fieldsOf(text)["minutes"]).toBe("");
  });
});
