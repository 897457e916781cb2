// Opens what the app needs, listens, and closes it all again.
import { createServer } from "node:http";
import { createApp } from "#src/app.ts";
import { readSettings } from "#src/settings.ts";

/** Starts the server; prints its address. Ends the process with one clear line when it cannot. */
export async function start(_options: { demo: boolean }): Promise<void> {
  const settings = readSettings();
  const server = createServer(createApp({ settings }));
  server.on("error", (error: NodeJS.ErrnoException) => {
    console.error(error.code === "EADDRINUSE" ? `Port ${settings.port} is taken: set PORT to another number.` : `Could not listen: ${error.message}`);
    process.exit(1);
  });
  server.listen(settings.port, settings.host, () => {
    const address = server.address();
    const port = typeof address === "object" && address !== null ? address.port : settings.port;
    console.log(`Wedgewright is ready at http://${settings.host}:${port}`);
  });
}
