// Spreads scenes over two processes.
import { fork } from "node:child_process";
import { fileURLToPath } from "node:url";
import type { SceneTask, TaskResult } from "./scene-tasks.ts";

const processes = 2;

/** Results in the order of the tasks. */
export async function runTasks(tasks: readonly SceneTask[]): Promise<TaskResult[]> {
  const results: TaskResult[] = [];
  let next = 0;
  await Promise.all(
    Array.from(
      { length: processes },
      () =>
        new Promise<void>((resolve, reject) => {
          const child = fork(fileURLToPath(new URL("scene-child.ts", import.meta.url)), {
            execArgv: ["--import", "tsx"],
          });
          let running = -1;
          const give = (): void => {
            running = next++;
            const task = tasks[running];
            if (task === undefined) child.disconnect();
            else child.send(task);
          };
          child.on("message", (result) => {
            results[running] = result as TaskResult;
            give();
          });
          child.on("error", reject);
          child.on("exit", (code) =>
            code === 0
              ? resolve()
              : reject(new Error(`Scene ${tasks[running]?.seed} ended its process with code ${code}.`)),
          );
          give();
        }),
    ),
  );
  return results;
}
