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

describe("the run sheet of a print that was planned", () => {
  const sheetOf = async (path: string): Promise<string> => (await request(studio.app).get(path).expect(200)).text;

  async function planned(): Promise<string> {
    const fields = fieldsOf((await begin(chosen()).expect(200)).text);
    return (await begin(chosen(fields)).expect(303)).headers["location"] ?? "";
  }

  it("when the tests say another time by now, says both times, until it has begun", async () => {
    await studio.saveTest({ seed: 1 });
    const [path, begun] = [await planned(), await planned()];
    expect(await sheetOf(path)).not.toContain("Since this print was planned");
    await request(studio.app).post(`${begun}/steps/0/start`).expect(303);
    const before = Math.round(await timeOf());
    await studio.saveTest({ seed: 2, middle: 2.15 });
    const now = Math.round(await timeOf());
    expect(Math.log2(now / before)).toBeGreaterThan(0.1);
    const clock = (seconds: number): string => `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`;
    expect(await sheetOf(path)).toContain(`has become ${clock(now)}; the calibration said ${clock(before)} then`);
    expect(await sheetOf(begun)).not.toContain("Since this print was planned");
  });

  it("when its tests contradict each other by now, says that instead of a time", async () => {
    await studio.saveTest({ middle: 2 });
    const path = await planned();
    await studio.saveTest({ middle: 2.5 });
    expect(await sheetOf(path)).toContain("contradict each other: make one more test before it");
  });
});
