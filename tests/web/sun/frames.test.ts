import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import request from "supertest";
import type { SunFrame } from "#shared/schema/sun/frame.ts";
import { saveSunTest } from "../../support/studios/sun-tests.ts";
import { testApp } from "../../support/test-app.ts";

const noon = Date.parse("2026-06-14T14:00:00+01:00");
const minuteMs = 60_000;

beforeEach(() => {
  vi.useFakeTimers({ toFake: ["Date"], now: noon });
});
afterEach(() => {
  vi.useRealTimers();
});

async function studio() {
  const { app, store } = testApp();
  const test = await saveSunTest(store);
  const begin = async (name: string, more: Record<string, string> = {}): Promise<SunFrame> => {
    await request(app)
      .post("/sun/frames")
      .type("form")
      .send({ city: "Lisbon", anchor: `test:${test.id}`, chosen: "yes", name, ...more })
      .expect(303);
    const frame = store.sunFrames.list().find((each) => each.name === name);
    if (frame === undefined) throw new Error("not begun");
    return frame;
  };
  const post = (path: string, fields: Record<string, string>, status = 303) =>
    request(app).post(path).type("form").send(fields).expect(status);
  const now = async (id: string) => (await request(app).get(`/api/sun/frames/${id}`).expect(200)).body.now;
  const page = async (): Promise<string> => (await request(app).get("/sun/frames").expect(200)).text;
  return { app, store, test, begin, post, now, page };
}

describe("frames in the sun", () => {
  it("several at once, each with its own dose, are seen by whoever asks", async () => {
    const { begin, now, page } = await studio();
    const first = await begin("Fern");
    vi.setSystemTime(noon + 2 * minuteMs);
    const second = await begin("Lace");
    vi.setSystemTime(noon + 3 * minuteMs);
    // 240 s are wanted: three minutes of four, and one of four.
    expect((await now(first.id)).share).toBeCloseTo(0.75, 1);
    expect((await now(second.id)).share).toBeCloseTo(0.25, 1);
    const text = await page();
    expect(text).toContain("Fern");
    expect(text).toContain("Lace");
    expect(text).toContain('data-live="sun-frames"');
  });

  it("that went out three minutes ago can be begun so, or set back afterwards", async () => {
    const { begin, post, now } = await studio();
    const first = await begin("Fern", { wentOutAt: "13:57" });
    expect(first.startedAt).toBe("2026-06-14T13:57:00+01:00");
    const second = await begin("Lace");
    await post(`/sun/frames/${second.id}`, { startTime: "13:57" });
    expect((await now(second.id)).share).toBeCloseTo((await now(first.id)).share, 6);
    expect((await now(second.id)).share).toBeCloseTo(0.75, 1);
  });

  it("take hidden minutes afterwards, timed or not, and give them back", async () => {
    const { store, begin, post, now } = await studio();
    const { id } = await begin("Fern", { wentOutAt: "13:56" });
    const free = (await now(id)).share;
    await post(`/sun/frames/${id}`, { hiddenFrom: "13:57", hiddenUntil: "13:59" });
    expect((await now(id)).share / free).toBeCloseTo(1 - 0.5 * 0.55, 2);
    await post(`/sun/frames/${id}/press`, { press: "undo-hidden" });
    await post(`/sun/frames/${id}`, { cloudMinutes: "2" });
    expect((await now(id)).share / free).toBeCloseTo(1 - 0.5 * 0.55, 2);
    await post(`/sun/frames/${id}`, { turnFrom: "13:58", glass: "yes" });
    expect(store.sunFrames.get(id).turns).toMatchObject([{ glass: true }]);
    expect((await now(id)).share / free).toBeLessThan(1 - 0.5 * 0.55);
  });

  it("when the sun goes and comes back, count what the device says it saw, late or not", async () => {
    const { begin, post, now } = await studio();
    const { id } = await begin("Fern");
    vi.setSystemTime(noon + 4 * minuteMs);
    // The phone had no network: both presses arrive now.
    await post(`/sun/frames/${id}/press`, { press: "hide", at: String(noon + minuteMs) });
    await post(`/sun/frames/${id}/press`, { press: "back", at: String(noon + 3 * minuteMs) });
    expect((await now(id)).hiddenSeconds).toBe(120);
    expect((await now(id)).share).toBeCloseTo(0.725, 1);
  });

  it("overdue, say since when, by how much of the dose and how many stops", async () => {
    const { begin, page } = await studio();
    await begin("Fern");
    vi.setSystemTime(noon + 12 * minuteMs);
    expect(await page()).toMatch(/since 14:04, 8 min over: 29\d % of the light it wants, about 1\.[56] stops too much/);
  });

  it("brought in, wait to be judged while the next goes out, then become an anchor with all noted", async () => {
    const { store, begin, post, page } = await studio();
    const { id } = await begin("Fern");
    vi.setSystemTime(noon + 4 * minuteMs);
    await post(`/sun/frames/${id}/press`, { press: "in" });
    await begin("Lace");
    expect(await page()).toContain("In: judge when dry");
    await post(`/sun/frames/${id}`, { cloudMinutes: "1" });
    vi.setSystemTime(noon + 24 * 60 * minuteMs);
    await post(`/sun/frames/${id}/judge`, { neededStops: "0.5" });
    const [anchor] = store.sunAnchors.list();
    expect(anchor).toMatchObject({
      name: "Fern",
      neededStops: 0.5,
      cloudMinutes: 1,
      startedAt: "2026-06-14T14:00:00+01:00",
      endedAt: "2026-06-14T14:04:00+01:00",
    });
    expect(store.sunFrames.get(id).anchorId).toBe(anchor?.id);
  });

  it("forgotten for hours, are not kept as an anchor before somebody says that they lay outside", async () => {
    const { store, begin, post } = await studio();
    const { id } = await begin("Fern");
    vi.setSystemTime(noon + 137 * minuteMs);
    await post(`/sun/frames/${id}/press`, { press: "in" });
    const refused = await post(`/sun/frames/${id}/judge`, { neededStops: "0" }, 400);
    expect(refused.text).toContain("If a press was forgotten");
    expect(store.sunAnchors.list()).toEqual([]);
    await post(`/sun/frames/${id}/judge`, { neededStops: "-3", sure: "yes" });
    expect(store.sunAnchors.list()).toHaveLength(1);
  });

  it("forgotten for a month, still open their page", async () => {
    const { begin, page } = await studio();
    await begin("Fern");
    vi.setSystemTime(noon + 31 * 24 * 60 * minuteMs);
    expect(await page()).toContain("Bring it in");
  });

  it("call by a calendar file while there is a time, and say so when there is none", async () => {
    const { app, begin, post } = await studio();
    const { id } = await begin("Fern");
    const { text, type } = await request(app).get(`/api/sun/frames/${id}/calendar.ics`).buffer(true).expect(200);
    expect(type).toBe("text/calendar");
    expect(text).toMatch(/DTSTART:20260614T1304\d\dZ/);
    vi.setSystemTime(noon + 4 * minuteMs);
    await post(`/sun/frames/${id}/press`, { press: "in" });
    await request(app).get(`/api/sun/frames/${id}/calendar.ics`).expect(400);
  });

  it.each([
    ["a time that is none", { startTime: "25:99" }, "is not a time of day"],
    ["one end of a hidden stretch", { hiddenFrom: "13:00" }, "needs both times"],
    ["a stretch that ends before it begins", { hiddenFrom: "14:10", hiddenUntil: "14:05" }, "came back before"],
    ["minutes that are no number", { cloudMinutes: "few" }, "as a number"],
    ["a turn without its time", { tiltDegrees: "30" }, "from when on"],
  ])("with %s, change nothing and say why", async (_name, fields: Record<string, string>, words) => {
    const { store, begin, post } = await studio();
    const before = await begin("Fern");
    expect((await post(`/sun/frames/${before.id}`, fields, 400)).text).toContain(words);
    expect(store.sunFrames.get(before.id)).toEqual(before);
  });

  it("without a plan that gives a time, do not go out", async () => {
    const { app, store } = testApp();
    const { body } = await request(app)
      .post("/api/sun/frames")
      .send({
        name: "Fern",
        plan: { latitude: 38.72, longitude: -9.14, startAt: "2026-06-14T23:30:00+01:00", dose: 1000 },
      })
      .expect(400);
    expect(body.detail).toContain("sun");
    expect(store.sunFrames.list()).toEqual([]);
  });
});

describe("the page of the day", () => {
  it("leads to the frames and says how many are outside", async () => {
    const { app, begin } = await studio();
    expect((await request(app).get("/sun").expect(200)).text).toContain("Frames in the sun");
    await begin("Fern");
    await begin("Lace");
    expect((await request(app).get("/sun").expect(200)).text).toContain("2 frames are outside");
  });
});
