// Runs in a worker thread: fits a test's curve and finds its advice, or draws a bed's map, so that the server's own
// thread answers meanwhile.
import { parentPort } from "node:worker_threads";
import { assessTest } from "#shared/advice/assess-test.ts";
import { evennessMap } from "#shared/evenness/evenness.ts";
import { TroubleError } from "#shared/errors.ts";
import { letOthersGoFirst } from "#src/imaging/step-back.ts";
import type { AssessAnswer, AssessTask } from "./assess-thread.ts";

letOthersGoFirst("somewhat");

function resultOf(task: AssessTask) {
  return task.name === "assess-test" ? assessTest(task.input) : evennessMap(...task.input);
}

function answerTo(task: AssessTask): AssessAnswer {
  const { id } = task;
  try {
    return { id, kind: "done", result: resultOf(task) };
  } catch (error) {
    if (!(error instanceof TroubleError))
      return { id, kind: "failure", message: error instanceof Error ? (error.stack ?? error.message) : String(error) };
    const { code, trouble, field, extra } = error;
    return { id, kind: "trouble", code, trouble, field, extra };
  }
}

const port = parentPort;
port?.on("message", (task: AssessTask) => port.postMessage(answerTo(task)));
