import { spawnSync } from "node:child_process";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { correctionFromTones } from "#shared/correction/correction.ts";
import { deviceLinkProfile } from "#src/output/icc-device-link.ts";
import { printedTones, usualPrint } from "../support/pictures/printed-strip.ts";
import { temporaryFolder } from "../support/temporary-folder.ts";

const { levels } = correctionFromTones({
  tones: printedTones(usualPrint, { count: 33, sigma: 0.01, seed: 3 }),
  target: "lightness",
});
const profileFor = (space: "grey" | "rgb") =>
  deviceLinkProfile({
    description: "Prüfung",
    madeAt: new Date("2026-05-01T10:00:00Z"),
    space,
    curve: levels.map((level) => level / 255),
  });
const hasTransicc = spawnSync("transicc", ["--version"]).error === undefined;

describe("ICC DeviceLink", () => {
  it("has the header and the tags that the standard asks of a DeviceLink", () => {
    const bytes = Buffer.from(profileFor("grey"));
    expect(bytes.readUInt32BE(0)).toBe(bytes.length);
    expect(bytes.toString("latin1", 12, 24)).toBe("linkGRAYGRAY");
    expect(bytes.toString("latin1", 36, 40)).toBe("acsp");
    const tags = Array.from({ length: bytes.readUInt32BE(128) }, (_, index) => ({
      name: bytes.toString("latin1", 132 + 12 * index, 136 + 12 * index),
      offset: bytes.readUInt32BE(136 + 12 * index),
      size: bytes.readUInt32BE(140 + 12 * index),
    }));
    expect(tags.map(({ name }) => name)).toEqual(["desc", "cprt", "pseq", "A2B0"]);
    for (const { offset, size } of tags) {
      expect(offset % 4).toBe(0);
      expect(offset + size).toBeLessThanOrEqual(bytes.length);
    }
  });

  // An independent colour engine (Debian's liblcms2-utils) reads the profile; the check is left out where it is not
  // installed.
  it.skipIf(!hasTransicc).each(["grey", "rgb"] as const)(
    "for %s, an independent colour engine gives the table within half a level (needs transicc)",
    (space) => {
      const file = join(temporaryFolder(), "link.icc");
      writeFileSync(file, profileFor(space));
      // transicc takes and gives grey, red, green and blue in 0-255.
      const channels = space === "grey" ? 1 : 3;
      const input =
        levels.map((_, level) => Array.from({ length: channels }, () => String(level)).join(" ")).join("\n") + "\n";
      const run = spawnSync("transicc", ["-t0", "-n", `-l${file}`], { input, encoding: "utf8" });
      expect(run.status, run.stderr).toBe(0);
      const answers = run.stdout.trim().split(/\s+/).map(Number);
      expect(answers).toHaveLength(256 * channels);
      const errors = answers.map((answer, index) => Math.abs(answer - levels[Math.floor(index / channels)]!));
      expect(Math.max(...errors)).toBeLessThan(0.5);
    },
  );
});
