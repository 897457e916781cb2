// Pictures that carry a colour profile. An independent colour engine (LittleCMS inside libvips) converts the picture
// into the profile's space; the reader has to come back to the densities that were drawn.
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { measureReading } from "#src/imaging/measure-reading.ts";
import type { MeasuredReading } from "#shared/reading/reading-facts.ts";
import { wideGammaProfile } from "../../support/pictures/gamma-profile.ts";
import { withProfileChunk } from "../../support/pictures/png-profile.ts";
import {
  blueprintDensities,
  stripFile,
  type StripPicture,
  levelCorners,
} from "../../support/pictures/strip-picture.ts";
import { temporaryFolder } from "../../support/temporary-folder.ts";

const corners = levelCorners;
const tablet = { kind: "transmission", steps: 21, increment: 0.15, firstDensity: 0.05 } as const;
const scan: StripPicture = { width: 790, height: 260, corners, densities: blueprintDensities, grain: 0.01 };
const codes = (warnings: readonly { code: string }[]): string[] => warnings.map(({ code }) => code);

const redError = (reading: MeasuredReading): number =>
  Math.max(...reading.steps.map((step, index) => Math.abs(step.red - (blueprintDensities[index] ?? 0))));

/** The file's own numbers as a new PNG file without a profile, 8 or 16 bits deep. */
async function bareNumbers(file: Buffer, bits: 8 | 16): Promise<Buffer> {
  const { data, info } = await sharp(file, { ignoreIcc: true }).raw().toBuffer({ resolveWithObject: true });
  const { width, height } = info;
  if (bits === 8)
    return sharp(data, { raw: { width, height, channels: 3 } })
      .png()
      .toBuffer();
  const deep = Uint16Array.from(data, (code) => code * 257);
  return sharp(deep, { raw: { width, height, channels: 3 } })
    .toColourspace("rgb16")
    .png()
    .toBuffer();
}

/**
 * The strip converted into the profile's space by the colour engine, 8 bits; the 16-bit file holds the same colours, as
 * the engine's own 16-bit output assumes another source space.
 */
async function profiledPicture(space: "sRGB" | "Display P3" | "wide gamma", bits: 8 | 16): Promise<Buffer> {
  const wideFile = join(temporaryFolder(), "wide.icc");
  writeFileSync(wideFile, wideGammaProfile());
  const profiles: Record<typeof space, string> = { sRGB: "srgb", "Display P3": "p3", "wide gamma": wideFile };
  const converted = await sharp(await stripFile(scan, "png", 8))
    .withIccProfile(profiles[space])
    .png()
    .toBuffer();
  const { icc } = await sharp(converted).metadata();
  if (icc === undefined) throw new Error("The colour engine wrote no profile.");
  return bits === 8 ? converted : withProfileChunk(await bareNumbers(converted, 16), icc);
}

describe("an embedded colour profile", () => {
  it.each([
    ["sRGB", 8],
    ["Display P3", 8],
    ["Display P3", 16],
    ["wide gamma", 8],
    ["wide gamma", 16],
  ] as const)("of %s, %i bits, is honoured", async (space, bits) => {
    const reading = await measureReading({ picture: await profiledPicture(space, bits), request: { tablet, corners } });
    expect(reading.image.bitsPerChannel).toBe(bits);
    expect(codes(reading.warnings)).not.toContain("profile-missing");
    expect(redError(reading)).toBeLessThan(0.02);
  });

  it("matters: the same numbers without it are read wrongly, and said to be untagged", async () => {
    const picture = await bareNumbers(await profiledPicture("wide gamma", 8), 8);
    const reading = await measureReading({ picture, request: { tablet, corners } });
    expect(codes(reading.warnings)).toContain("profile-missing");
    expect(redError(reading)).toBeGreaterThan(0.2);
  });
});
