// Runs in a worker thread: fits a test's curve and finds its advice, so that the server's own thread answers meanwhile.
import { parentPort } from "node:worker_threads";
import { assessTest } from "#shared/advice/assess-test.ts";
import { TroubleError } from "#shared/errors.ts";
import { letOthersGoFirst } from "#src/imaging/step-back.ts";
import type { AssessAnswer, AssessTask } from "./assess-thread.ts";

letOthersGoFirst("somewhat");

function answerTo({ id, input }: AssessTask): AssessAnswer {
  try {
    return { id, kind: "done", assessment: assessTest(input) };
  } catch (error) {
    if (!(error instanceof TroubleError))
      return { id, kind: "failure", message: error instanceof Error ? (error.stack ?? error.message) : String(error) };
    const { code, trouble, field, extra } = error;
    return { id, kind: "trouble", code, trouble, field, extra };
  }
}

const port = parentPort;
port?.on("message", (task: AssessTask) => port.postMessage(answerTo(task)));
