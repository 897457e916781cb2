// The real server in a process of its own, with a watch on its event loop; speaks with the speed section by messages.
import { monitorEventLoopDelay } from "node:perf_hooks";
import { serveApp } from "../browser/serve.ts";

const server = await serveApp(process.argv[2]!);
const watch = monitorEventLoopDelay({ resolution: 2 });
process.on("message", async (message: "watch" | "report" | "close") => {
  if (message === "watch") {
    watch.reset();
    watch.enable();
  } else if (message === "report") {
    watch.disable();
    process.send!({ p50Ms: watch.percentile(50) / 1e6, p99Ms: watch.percentile(99) / 1e6, mostMs: watch.max / 1e6 });
  } else {
    await server.close();
    process.exit(0);
  }
});
process.send!({ address: server.address });
