// A process of its own for a share of the scenes.
import { runTask, type SceneTask } from "./scene-tasks.ts";

process.on("message", async (task: SceneTask) => {
  process.send!(await runTask(task));
});
