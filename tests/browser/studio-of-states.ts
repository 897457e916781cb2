// A studio with every state of an answer: good, doubtful, too short, overdue, disagreeing, predicted, at work.
import type { TestServer } from "./serve.ts";
import { sampleStudio, type SampleStudio } from "./fill-studio.ts";

export interface StateStudio {
  /** Ids of tests. */
  readonly tests: Readonly<Record<"good" | "doubtful" | "too-short" | "tones" | "sun", string>>;
  /** Addresses of looked-up exposures. */
  readonly lookups: Readonly<Record<"predicted" | "disagreeing" | "unknown", string>>;
  /** Ids of prints. */
  readonly prints: Readonly<Record<"running" | "paused" | "finished", string>>;
  /** A box whose calibration is overdue. */
  readonly overdueLamp: string;
}

const boxOne = "sample-lamp-box-one";
const boxTwo = "sample-lamp-box-two";
const rag = "sample-support-rag";
const cloth = "sample-support-cloth";

export async function studioOfStates(server: TestServer): Promise<StateStudio> {
  const studio = await sampleStudio(server.address);
  const yesterday = new Date(Date.now() - 86_400_000).toISOString();
  await studio.save("scan-on-paper", { madeAt: "2020-04-11T10:20:00+02:00" });
  const good = await studio.save("tilted-photo", { madeAt: yesterday });
  // The same print said to be exposed four times as long: two stops of contradiction.
  await studio.save("cotton", { madeAt: yesterday });
  await studio.save("cotton", { exposureSeconds: 7200, madeAt: yesterday }, true);
  const tooShort = await studio.save("under-exposed", { lampId: boxTwo, filmId: undefined, madeAt: yesterday });
  // Corners of 21 steps, said to hold 31.
  const tablet = { kind: "transmission", steps: 31, increment: 0.1, firstDensity: 0.05 };
  const doubtful = await studio.save("scan-on-paper", { tablet, filmId: undefined, madeAt: yesterday }, true);
  const tests = {
    good,
    doubtful,
    "too-short": tooShort,
    tones: await studio.save("grey-levels"),
    sun: await studio.save("sun-test"),
  };
  return {
    tests,
    lookups: {
      predicted: lookup(studio, boxTwo, cloth),
      disagreeing: lookup(studio, boxOne, cloth),
      unknown: lookup(studio, "sample-lamp-yard", cloth),
    },
    prints: {
      running: await printIn(server, studio, ["start"]),
      paused: await printIn(server, studio, ["start", "pause"]),
      finished: await printIn(server, studio, ["start", "end"]),
    },
    overdueLamp: studio.ids.get(boxOne) ?? "",
  };
}

function lookup({ ids }: SampleStudio, lamp: string, support: string): string {
  const query = new URLSearchParams({
    lampId: ids.get(lamp) ?? "",
    supportId: ids.get(support) ?? "",
    coatingId: ids.get("sample-coating-two-part") ?? "",
    filmId: ids.get("sample-film-clear") ?? "",
  });
  return `/exposures?${query.toString()}`;
}

/** A print of one step, brought into a state by presses. */
async function printIn({ address }: TestServer, { ids }: SampleStudio, presses: readonly string[]): Promise<string> {
  const made = await fetch(`${address}/api/prints`, {
    method: "POST",
    headers: { "content-type": "application/json" },
    body: JSON.stringify({
      lampId: ids.get(boxTwo),
      supportId: ids.get(rag),
      coatingId: ids.get("sample-coating-two-part"),
      name: `Sea wall, ${presses.at(-1)}`,
      exposureSeconds: 862,
      steps: [{ name: "Exposure", seconds: 862, note: "" }],
    }),
  });
  const { id } = (await made.json()) as { id: string };
  for (const press of presses)
    await fetch(`${address}/prints/${id}/steps/0/${press}`, {
      method: "POST",
      redirect: "manual",
      headers: { "content-type": "application/x-www-form-urlencoded" },
      body: "sure=yes",
    });
  return id;
}
