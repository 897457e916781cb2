// Pictures of an invented scanner whose profile is made of tables. LittleCMS (transicc) is the independent colour
// engine.
import { spawnSync } from "node:child_process";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { transformed, type Vector3 } from "#shared/density/matrix.ts";
import { srgbChromaticities, xyzD50FromRgb } from "#shared/density/rgb-spaces.ts";
import { parseIccProfile } from "#src/imaging/profile/icc-profile.ts";
import { measureReading } from "#src/imaging/measure-reading.ts";
import type { MeasuredReading } from "#shared/reading/reading-facts.ts";
import { readingWarningWords } from "#shared/words/tests/reading-words.ts";
import { withProfileChunk } from "../../support/pictures/png-profile.ts";
import {
  blueprintDensities,
  noiseFrom,
  stripLight,
  type StripPicture,
  levelCorners,
} from "../../support/pictures/strip-picture.ts";
import { scannerNumbers, scannerProfile, scannerXyz, type ProfileForm } from "../../support/pictures/table-profile.ts";
import { temporaryFolder } from "../../support/temporary-folder.ts";

const hasTransicc = spawnSync("transicc", ["--version"]).error === undefined;

const corners = levelCorners;
const tablet = { kind: "transmission", steps: 21, increment: 0.15, firstDensity: 0.05 } as const;
const scan: StripPicture = { width: 790, height: 260, corners, densities: blueprintDensities, grain: 0.004 };

/** The strip as the scanner writes it: its own numbers, rounded with a little noise, and one of its profiles. */
async function scanned(form: ProfileForm | null, bits: 8 | 16, side?: number): Promise<Buffer> {
  const { width, height } = scan;
  const light = stripLight(scan);
  const toXyz = xyzD50FromRgb(srgbChromaticities);
  const top = bits === 8 ? 255 : 65_535;
  const noise = noiseFrom(5);
  const codes = bits === 8 ? new Uint8Array(light.length) : new Uint16Array(light.length);
  for (let i = 0; i < light.length; i += 3) {
    const device = scannerNumbers(transformed(toXyz, [light[i]!, light[i + 1]!, light[i + 2]!]));
    for (let c = 0; c < 3; c++) codes[i + c] = Math.min(top, Math.max(0, Math.round(device[c]! * top + noise())));
  }
  const image = sharp(codes, { raw: { width, height, channels: 3 } });
  const png = await (bits === 16 ? image.toColourspace("rgb16") : image).png({ compressionLevel: 1 }).toBuffer();
  return form === null ? png : withProfileChunk(png, scannerProfile(form, side));
}

const read = async (picture: Buffer): Promise<MeasuredReading> =>
  measureReading({ picture, request: { tablet, corners } });
const colourOf = (profile: Uint8Array, device: readonly number[]): number[] => {
  const colour = Float64Array.from(device);
  parseIccProfile(profile)!.tableColour!(colour);
  return [...colour];
};
const codesOfWarnings = (reading: MeasuredReading): string[] => reading.warnings.map(({ code }) => code);
const worst = (a: readonly number[], b: readonly number[]) => Math.max(...a.map((value, i) => Math.abs(value - b[i]!)));
const reds = (reading: MeasuredReading) => reading.steps.map((step) => step.red);

describe("a profile made of tables", () => {
  it.skipIf(!hasTransicc).each(["lut8", "lut16", "lutAToB", "lut16-xyz"] as const)(
    "of form %s gives the colours that an independent engine gives (needs transicc)",
    (form) => {
      const profile = scannerProfile(form, form === "lut8" ? 17 : 33);
      const file = join(temporaryFolder(), "scanner.icc");
      writeFileSync(file, profile);
      const noise = noiseFrom(3);
      const device = Array.from({ length: 300 }, () => [0, 1, 2].map(() => Math.round(127.5 + 73.6 * noise())));
      const input = device.map((rgb) => rgb.join("\n")).join("\n");
      const run = spawnSync("transicc", ["-t1", "-n", `-i${file}`, "-o*XYZ"], { input, encoding: "utf8" });
      const theirs = run.stdout.trim().split(/\s+/u).map(Number);
      expect(theirs).toHaveLength(900);
      const ours = device.flatMap((rgb) =>
        colourOf(
          profile,
          rgb.map((code) => code / 255),
        ).map((value) => 100 * value),
      );
      expect(worst(ours, theirs)).toBeLessThan(0.01);
    },
  );

  it("follows the scanner itself between the points of its lattice", () => {
    const device: Vector3 = [0.21, 0.47, 0.63];
    expect(worst(colourOf(scannerProfile("lut16"), device), scannerXyz(device))).toBeLessThan(0.0003);
  });

  it.each([
    ["lut16", 16],
    ["lutAToB", 16],
    ["lut16", 8],
    ["lutAToB", 8],
  ] as const)("of form %s, %i bits, brings the drawn densities back", async (form, bits) => {
    const reading = await read(await scanned(form, bits));
    expect(codesOfWarnings(reading)).not.toContain("profile-tables");
    expect(reading.image).toMatchObject({
      bitsPerChannel: bits,
      profile: { code: "embedded", name: "Invented flatbed" },
    });
    const errors = reds(reading).map((red, i) => red - blueprintDensities[i]!);
    expect(Math.sqrt(errors.reduce((sum, error) => sum + error ** 2, 0) / errors.length)).toBeLessThan(0.003);
    // At 8 bits one code is 0.02 of density in the darkest steps.
    expect(Math.max(...errors.map(Math.abs))).toBeLessThan(bits === 16 ? 0.003 : 0.006);
  });

  it.each([8, 16] as const)("reads as its twin of curves and primaries does, %i bits", async (bits) => {
    // A lattice of 33 points an edge is itself 0.002 off in the darkest steps; this one is finer.
    const [tables, curves] = [await read(await scanned("lut16", bits, 49)), await read(await scanned("curves", bits))];
    expect(worst(reds(tables), reds(curves))).toBeLessThan(0.002);
    expect(
      worst(
        tables.steps.map((step) => step.visual),
        curves.steps.map((step) => step.visual),
      ),
    ).toBeLessThan(0.002);
  });

  it("matters: the same numbers without it are read wrongly, and the warning says what that may cost", async () => {
    const reading = await read(await scanned(null, 16));
    expect(worst(reds(reading), blueprintDensities)).toBeGreaterThan(0.1);
    const warning = reading.warnings.find(({ code }) => code === "profile-missing");
    expect(readingWarningWords(warning!)).toMatch(/a quarter/u);
  });

  it("cut short is no profile", () => {
    const profile = scannerProfile("lut16");
    expect(parseIccProfile(profile)).not.toBeNull();
    expect(parseIccProfile(profile.subarray(0, 9000))).toBeNull();
  });
});
