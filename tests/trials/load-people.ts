// What each of the people of the load trial does, and how long the answers took.
import type { Random } from "#shared/statistics/random.ts";
import { jsonQuestion, pictureQuestion, type Answer, type Ask, type Question } from "./asking.ts";
import type { LoadPicture } from "./load-pictures.ts";

export type Kind = "page" | "test" | "reading" | "lookup" | "timer" | "preview" | "bare";

const noTimes = (): Record<Kind, number[]> => ({
  page: [],
  test: [],
  reading: [],
  lookup: [],
  timer: [],
  preview: [],
  bare: [],
});

/** One reading in so many is given up while the tablet is being searched. */
const givenUpShare = 1 / 5;
/** Between one thing and the next. */
const shortestPauseMs = 300;
const longestPauseMs = 2000;
const tablet = { kind: "transmission", steps: 21, increment: 0.15, firstDensity: 0.05 };
const pages = ["/", "/tests", "/studio", "/prints", "/sun", "/exposures", "/tests/new"];

export class LoadPeople {
  times = noTimes();
  /** Pages by their name, with the times of each [ms]. */
  readonly byPage = new Map<string, number[]>();
  readonly failures: string[] = [];
  refused = 0;
  abandoned = 0;
  readonly #ask: Ask;
  readonly #random: Random;
  readonly #pictures: readonly LoadPicture[];
  readonly #tests: { readonly id: string; readonly pictureId: string }[] = [];
  readonly #materials: Record<string, string>[] = [];
  #sent = 0;

  constructor(ask: Ask, random: Random, pictures: readonly LoadPicture[]) {
    this.#ask = ask;
    this.#random = random;
    this.#pictures = pictures;
  }

  /** Makes the materials, and some tests that pages can show. */
  async moveIn(tests: number): Promise<void> {
    const lampId = await this.#made("/api/lamps", { name: "Box", kind: "tubes" });
    const coatingId = await this.#made("/api/coatings", { name: "Blue" });
    for (const name of ["Cotton", "Rag", "Thin", "Heavy", "Sketch"])
      this.#materials.push({ lampId, coatingId, supportId: await this.#made("/api/supports", { name }) });
    for (let n = 0; n < tests; n++) await this.#test();
  }

  /** The same requests by one person alone: what the work itself takes. Gives the times, and forgets them. */
  async alone(rounds: number): Promise<Record<Kind, number[]>> {
    this.times = noTimes();
    for (let n = 0; n < rounds; n++) {
      for (const path of pages) await this.#page(path);
      await this.#page(`/tests/${this.#pick(this.#tests).id}`);
      await this.#lookup();
      await this.#preview();
      await this.#bare();
      if (n % 4 === 0) await this.#test();
      if (n % 4 === 2) await this.#reading();
    }
    const { times } = this;
    this.times = noTimes();
    this.byPage.clear();
    return times;
  }

  /** One person at work until `isOver`. */
  async person(isOver: () => boolean): Promise<void> {
    const timer = this.#sheetOfOne();
    const page = () => this.#page(this.#pick(pages));
    const testPage = () => this.#page(`/tests/${this.#pick(this.#tests).id}`);
    const lookup = () => this.#lookup();
    const reading = () => this.#reading();
    const acts = [page, page, testPage, testPage, lookup, lookup, timer, timer, reading, reading];
    acts.push(
      () => this.#test(),
      () => this.#preview(),
    );
    while (!isOver()) {
      await this.#pick(acts)();
      await pause(shortestPauseMs + this.#random.uniform() * (longestPauseMs - shortestPauseMs));
    }
  }

  /** Asks for the least that the server can answer, again and again: what every request waits for in this run. */
  async watch(isOver: () => boolean): Promise<void> {
    while (!isOver()) {
      await this.#bare();
      await pause(100);
    }
  }

  #pick<Item>(items: readonly Item[]): Item {
    const item = items[Math.floor(this.#random.uniform() * items.length)];
    if (item === undefined) throw new RangeError("There is nothing to pick from.");
    return item;
  }

  async #made(path: string, body: unknown): Promise<string> {
    const { status, body: text } = await this.#ask(path, jsonQuestion("POST", body));
    if (status !== 201) throw new Error(`POST ${path}: ${status} ${text.toString()}`);
    return (JSON.parse(text.toString()) as { id: string }).id;
  }

  async #timed(kind: Kind, path: string, question?: Question): Promise<Answer | undefined> {
    const begun = performance.now();
    try {
      const answer = await this.#ask(path, question);
      const took = performance.now() - begun;
      this.times[kind].push(took);
      if (kind === "page") {
        const name = path.replace(/\/tests\/(?!new).*/, "/tests/:id");
        this.byPage.set(name, [...(this.byPage.get(name) ?? []), took]);
      }
      if (answer.status === 503) {
        this.refused++;
        if (answer.retryAfterSeconds === undefined) this.failures.push(`${kind}: 503 without Retry-After`);
        await pause((answer.retryAfterSeconds ?? 1) * 1000);
      } else if (answer.status >= 400)
        this.failures.push(`${kind} ${path}: ${answer.status} ${answer.body.toString().slice(0, 200)}`);
      return answer;
    } catch (error) {
      this.failures.push(`${kind} ${path}: ${String(error)}`);
      return undefined;
    }
  }

  #picture(withCorners: boolean, more: object): Question {
    const { bytes, corners } = this.#pick(this.#pictures);
    return pictureQuestion(bytes, String(++this.#sent), { tablet, ...(withCorners ? { corners } : {}), ...more });
  }

  async #test(): Promise<void> {
    const request = this.#picture(true, { ...this.#pick(this.#materials), exposureSeconds: 480 });
    const answer = await this.#timed("test", "/api/tests", request);
    if (answer?.status === 201)
      this.#tests.push(JSON.parse(answer.body.toString()) as { id: string; pictureId: string });
  }

  async #reading(): Promise<void> {
    if (this.#random.uniform() >= givenUpShare) {
      await this.#timed("reading", "/api/readings", this.#picture(true, {}));
      return;
    }
    this.abandoned++;
    const signal = AbortSignal.timeout(Math.round(50 + this.#random.uniform() * 700));
    await this.#ask("/api/readings", { ...this.#picture(false, {}), signal }).catch(() => undefined);
  }

  #page(path: string): Promise<unknown> {
    return this.#timed("page", path);
  }

  #lookup(): Promise<unknown> {
    return this.#timed("lookup", `/api/exposures?${new URLSearchParams(this.#pick(this.#materials)).toString()}`);
  }

  #preview(): Promise<unknown> {
    return this.#timed("preview", `/pictures/${this.#pick(this.#tests).pictureId}?side=320`);
  }

  #bare(): Promise<unknown> {
    return this.#timed("bare", "/api/health");
  }

  /** Follows one run sheet after the other: each call begins a step or ends it. */
  #sheetOfOne(): () => Promise<void> {
    let acts: string[] = [];
    return async () => {
      if (acts.length === 0) {
        const answer = await this.#timed(
          "timer",
          "/api/prints",
          jsonQuestion("POST", { ...this.#pick(this.#materials), exposureSeconds: 300 }),
        );
        if (answer?.status !== 201) return;
        const { id, steps } = JSON.parse(answer.body.toString()) as { id: string; steps: unknown[] };
        acts = steps.flatMap((_, index) => ["start", "end"].map((act) => `/prints/${id}/steps/${index}/${act}`));
        return;
      }
      await this.#timed("timer", acts.shift() ?? "", { method: "POST" });
    };
  }
}

function pause(milliseconds: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, milliseconds));
}
