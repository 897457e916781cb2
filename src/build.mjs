// Bundles the server, its workers, each page's script and the style sheets; a fraction of a second, so it runs at every
// start.
import { build } from "esbuild";
import { existsSync, mkdirSync, readdirSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

const root = dirname(dirname(fileURLToPath(import.meta.url)));
const browser = join(root, "src", "browser");
const pageScripts = readdirSync(browser)
  .filter((name) => name.endsWith(".ts"))
  .map((name) => join(browser, name));
mkdirSync(join(root, "static", "scripts"), { recursive: true });

const server = {
  bundle: true,
  platform: "node",
  format: "esm",
  target: "node20",
  packages: "external",
  outdir: join(root, ".build"),
  outExtension: { ".js": ".mjs" },
  sourcemap: "inline",
  logLevel: "warning",
  absWorkingDir: root,
};

await build({
  ...server,
  entryPoints: [
    { in: join(root, "src", "main.ts"), out: "main" },
    { in: join(root, "src", "imaging", "worker.ts"), out: "imaging-worker" },
    { in: join(root, "src", "studio", "model-worker.ts"), out: "model-worker" },
    { in: join(root, "src", "studio", "tests", "assess-worker.ts"), out: "assess-worker" },
  ].filter((entry) => existsSync(entry.in)),
});
if (pageScripts.length > 0) {
  await build({
    bundle: true,
    platform: "browser",
    format: "esm",
    target: "es2022",
    splitting: true,
    minify: true,
    entryPoints: pageScripts,
    outdir: join(root, "static", "scripts"),
    logLevel: "warning",
    absWorkingDir: root,
  });
}
// One file in place of two dozen: a browser asks for imported sheets one after the other before it paints.
await build({
  bundle: true,
  minify: true,
  entryPoints: [{ in: join(root, "static", "styles", "main.css"), out: "site" }],
  external: ["/fonts/*"],
  outdir: join(root, "static", "scripts"),
  logLevel: "warning",
  absWorkingDir: root,
});
