// Kills the server (signal 9) at random moments of saving, changing, deleting, importing, restoring, migrating and
// making negatives, and looks after each next start whether everything that it had acknowledged is there. Then saves
// and restores everything of a large studio while others go on saving and deleting.
//   npm run test:durability -- --kills 300 --tests 2000 --seed 7
// With --goals 1 a start that takes longer than the goal fails too; for a machine with nothing else to do.
import { mkdtempSync, readdirSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { seededRandom } from "#shared/statistics/random.ts";
import { backupTrial } from "./backup-trial.ts";
import { makeOlder } from "./older-database.ts";
import { RecordedStudio } from "./recorded-studio.ts";
import { numbersFrom, spawnServer, startServerProcess, type ServerProcess } from "./server-process.ts";

const { kills, tests, seed, goals } = numbersFrom({ kills: 8, tests: 0, seed: 20260501, goals: 0 });
const random = seededRandom(seed);
const studio = new RecordedStudio(random);
const goalStartSeconds = 5;

/** What the blow falls into, one round after the other. */
const rounds = ["mixed", "import", "mixed", "restore", "mixed", "migration", "mixed", "restore"] as const;
type Round = (typeof rounds)[number];

/** One hand at work until the server is gone. Refusals before that are trouble. */
async function workUntilGone(server: ServerProcess, round: Round, onFirst: () => void): Promise<void> {
  let isGone = false;
  let isFirst = true;
  server.child.once("close", () => (isGone = true));
  const save = (): Promise<void> => studio.saveTest(server.address);
  const change = (): Promise<void> => studio.changeTest(server.address);
  const mixed = [
    save,
    save,
    save,
    change,
    change,
    () => studio.deleteTest(server.address),
    () => studio.addLamp(server.address),
    () => studio.makeNegative(server.address),
  ];
  const next = (): (() => Promise<void>) => {
    if (round === "restore") return () => studio.restoreSame(server.address);
    if (round === "import") return () => studio.importTests(server.address);
    return studio.pick(mixed) ?? save;
  };
  const hand = async (): Promise<void> => {
    while (!isGone) {
      try {
        await next()();
        if (isFirst) onFirst();
        isFirst = false;
      } catch (error) {
        // The connection breaks when the blow falls; whatever else is said is a refusal.
        if (error instanceof TypeError || isGone) return;
        studio.troubles.push(error instanceof Error ? error.message : String(error));
        return;
      }
    }
  };
  await Promise.all(round === "mixed" ? [hand(), hand(), hand()] : [hand()]);
}

/** Files that a start must have cleared away. */
function leftoversIn(dataDir: string, temporaryDir: string): string[] {
  return [
    ...readdirSync(dataDir).filter((name) => name.startsWith("passing-") || name === "lost"),
    ...readdirSync(dataDir, { recursive: true, encoding: "utf8" }).filter((name) => name.endsWith(".part")),
    ...readdirSync(temporaryDir).filter((name) => name.startsWith("wedgewright-")),
  ];
}

const dataDir = mkdtempSync(join(tmpdir(), "durability-data-"));
const temporaryDir = mkdtempSync(join(tmpdir(), "durability-tmp-"));
const starts: number[] = [];
const leftovers: string[] = [];
let migrationKills = 0;
let server: ServerProcess | undefined;
try {
  for (let number = 0; number <= kills && kills > 0; number++) {
    server = await startServerProcess(dataDir, temporaryDir);
    starts.push(server.startSeconds);
    leftovers.push(...leftoversIn(dataDir, temporaryDir));
    await studio.look(server.address, dataDir);
    await studio.moveIn(server.address);
    if (number === kills) {
      await server.end("SIGTERM");
      break;
    }
    const round = rounds[number % rounds.length] ?? "mixed";
    if (round === "migration") {
      // Ended by a blow too; then the folder is an older version's, and the next blow falls while it is carried on.
      await server.end("SIGKILL");
      if (makeOlder(dataDir) === 0) studio.troubles.push("no step could be undone: the migration was not tried");
      const carrying = spawnServer(dataDir, temporaryDir);
      await new Promise((resolve) => setTimeout(resolve, random.uniform() * 1500));
      await carrying.end("SIGKILL");
      migrationKills++;
      continue;
    }
    // The blow falls at a random moment after the first act was acknowledged; of a long act, at any moment of it.
    const { child } = server;
    const strikeIn = (milliseconds: number): void => void setTimeout(() => child.kill("SIGKILL"), milliseconds);
    if (round === "import") {
      // One comes in whole, which tells how long they take here; the blow falls into the next.
      const begun = performance.now();
      await studio.importTests(server.address);
      strikeIn(random.uniform() * 1.2 * (performance.now() - begun));
    }
    if (round === "restore") strikeIn(50 + random.uniform() * 2500);
    await workUntilGone(server, round, round === "mixed" ? () => strikeIn(random.uniform() * 1500) : () => undefined);
    await server.end("SIGKILL");
  }
} finally {
  server?.child.kill("SIGKILL");
  rmSync(dataDir, { recursive: true, force: true });
  rmSync(temporaryDir, { recursive: true, force: true });
}
const large = tests === 0 ? undefined : await backupTrial({ tests, seed });
const { troubles, counts } = studio;
const slowStarts = starts.filter((seconds) => seconds > goalStartSeconds).length;
for (const trouble of [...troubles, ...(large?.troubles ?? []), ...leftovers].slice(0, 20)) console.log(trouble);
if (large !== undefined) console.log(large.summary);
console.log(
  `durability: seed ${seed}, ${kills} kills (${migrationKills} while migrating), ${counts.saved} tests saved, ` +
    `${counts.changed} changed, ${counts.deleted} deleted, ${counts.imported} imported, ${counts.lamps} lamps, ` +
    `${counts.restored} restores, ${counts.negatives} negatives; ` +
    `slowest start ${Math.max(0, ...starts).toFixed(1)} s, ` +
    `${slowStarts} over ${goalStartSeconds} s, ` +
    `${leftovers.length} leftovers, ${troubles.length} lost or wrong`,
);
const isWhole = troubles.length === 0 && leftovers.length === 0 && (large?.troubles.length ?? 0) === 0;
process.exit(isWhole && (goals === 0 || slowStarts === 0) ? 0 : 1);
