// The machine-readable code (ISO/IEC 18004), written and found in pictures. The one place that knows its library.
import { readFile } from "node:fs/promises";
import { createRequire } from "node:module";
import { prepareZXingModule as prepareReader, readBarcodes } from "zxing-wasm/reader";
import { prepareZXingModule as prepareWriter, writeBarcode } from "zxing-wasm/writer";
import type { Corners } from "#shared/schema/reading.ts";
import { once } from "./once.ts";

export interface CodeModules {
  /** Modules along one side, without quiet zone. */
  readonly size: number;
  /** Row by row, true = dark. */
  readonly dark: readonly boolean[];
}

export interface FoundCode {
  readonly text: string;
  /**
   * Corners in pixels: those that are top-left, top-right, bottom-right, bottom-left when the code is read unmirrored.
   * Good to a few pixels.
   */
  readonly corners: Corners;
  /** True when the code appears mirrored in the picture. */
  readonly mirrored: boolean;
  /** True when its dark modules appear light. */
  readonly inverted: boolean;
}

const require = createRequire(import.meta.url);

/** The library would fetch this file from the network; the copy in its package is given to it instead. */
async function packagedBinary(name: string): Promise<ArrayBuffer> {
  const bytes = await readFile(require.resolve(name));
  return bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength) as ArrayBuffer;
}

const writer = once(async () => {
  const wasmBinary = await packagedBinary("zxing-wasm/writer/zxing_writer.wasm");
  return prepareWriter({ overrides: { wasmBinary }, fireImmediately: true });
});
const reader = once(async () => {
  const wasmBinary = await packagedBinary("zxing-wasm/reader/zxing_reader.wasm");
  return prepareReader({ overrides: { wasmBinary }, fireImmediately: true });
});

/** The modules of a code that survives a quarter of its area being unreadable (error correction level Q). */
export async function codeModules(text: string): Promise<CodeModules> {
  await writer();
  const written = await writeBarcode(text, { format: "QRCode", scale: 1, options: "ecLevel=Q", addQuietZones: false });
  if (written.error !== "") throw new Error(`The code could not be written: ${written.error}`);
  const { width, data } = written.symbol;
  return { size: width, dark: Array.from({ length: width * width }, (_, i) => (data[i] as number) < 128) };
}

/** Every code found in a grey picture of 8 bits a pixel, mirrored and inverted ones included. */
export async function findCodes(
  grey: Uint8Array | Uint8ClampedArray,
  width: number,
  height: number,
): Promise<FoundCode[]> {
  await reader();
  const data = new Uint8ClampedArray(width * height * 4);
  for (let i = 0, o = 0; i < width * height; i++, o += 4) {
    data[o] = data[o + 1] = data[o + 2] = grey[i] as number;
    data[o + 3] = 255;
  }
  const found = await readBarcodes(
    { data, width, height, colorSpace: "srgb" } as unknown as Parameters<typeof readBarcodes>[0],
    {
      formats: ["QRCode"],
      tryHarder: true,
      tryInvert: true,
      tryRotate: true,
      tryDownscale: true,
      maxNumberOfSymbols: 4,
    },
  );
  return found
    .filter((code) => code.isValid)
    .map(({ text, position, isMirrored, isInverted }) => {
      const at = (point: { x: number; y: number }): [number, number] => [point.x, point.y];
      // The library reads a mirrored code as a transposed one: its second and fourth corners are then each other's.
      const [second, fourth] = isMirrored
        ? [position.bottomLeft, position.topRight]
        : [position.topRight, position.bottomLeft];
      return {
        text,
        corners: [at(position.topLeft), at(second), at(position.bottomRight), at(fourth)],
        mirrored: isMirrored,
        inverted: isInverted,
      };
    });
}
