import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { rootDir } from "#src/settings.ts";

const fontsDir = join(rootDir, "static", "fonts");
/** The first four bytes of a font with TrueType outlines that is not packed. Source: OpenType 1.9, table directory */
const unpacked = 0x00010000;

describe("The type for what is printed", () => {
  it("lies there unpacked: of a packed one each glyph costs its table's unpacking, a report of one page 18 s", () => {
    const files = readdirSync(fontsDir).filter((file) => file.includes("-paper-"));
    expect(files).toHaveLength(3);
    for (const file of files) expect(readFileSync(join(fontsDir, file)).readUInt32BE(0), file).toBe(unpacked);
  });
});
