// ICC profiles of an invented scanner, as flatbed scanners embed them: made of tables in each of the three forms, and a
// twin of curves and primaries that says the same. The scanner's three channels see mixtures of light and answer by a
// power each. Layout: ICC.1, from memory; LittleCMS reads each of them beside our own reader in the tests.
import { inverseMatrix, transformed, type Matrix3, type Vector3 } from "#shared/density/matrix.ts";
import { d50 } from "#shared/density/rgb-spaces.ts";

export type ProfileForm = "curves" | "lut8" | "lut16" | "lutAToB" | "lut16-xyz";

/** Invented: what the scanner's lamps and filters see, as XYZ of its three lights; rows add up to D50. */
const scannerColorants: Matrix3 = (() => {
  const columns: Matrix3 = [0.66, 0.15, 0.1542, 0.29, 0.66, 0.05, 0.01, 0.07, 0.7449];
  return columns;
})();
const scannerPowers = [1.8, 1.9, 2.0] as const;

/** Device numbers (0-1) of the invented scanner for XYZ under D50. */
export function scannerNumbers(xyz: Vector3): Vector3 {
  const light = transformed(inverseMatrix(scannerColorants), xyz);
  return [0, 1, 2].map((c) => Math.min(Math.max(light[c]!, 0), 1) ** (1 / scannerPowers[c]!)) as unknown as Vector3;
}

/** XYZ under D50 of the scanner's device numbers (0-1). */
export function scannerXyz(device: Vector3): Vector3 {
  return transformed(scannerColorants, [0, 1, 2].map((c) => device[c]! ** scannerPowers[c]!) as unknown as Vector3);
}

/** CIE 1976 L*a*b* beside D50, by its definition. */
function labOf(xyz: Vector3): Vector3 {
  const f = xyz.map((value, i) => {
    const share = value / d50[i]!;
    return share > (6 / 29) ** 3 ? Math.cbrt(share) : ((29 / 6) ** 2 * share) / 3 + 4 / 29;
  });
  return [116 * f[1]! - 16, 500 * (f[0]! - f[1]!), 200 * (f[1]! - f[2]!)];
}

const padded = (data: Buffer) => Buffer.concat([data, Buffer.alloc((4 - (data.length % 4)) % 4)]);
const held = (x: number, top: number) => Math.min(top, Math.max(0, Math.round(x * top)));

function u16s(values: readonly number[]): Buffer {
  const out = Buffer.alloc(2 * values.length);
  values.forEach((value, i) => out.writeUInt16BE(held(value, 65_535), 2 * i));
  return out;
}
const u8s = (values: readonly number[]) => Buffer.from(values.map((value) => held(value, 255)));

function s15Fixed16s(values: readonly number[]): Buffer {
  const out = Buffer.alloc(4 * values.length);
  values.forEach((value, i) => out.writeInt32BE(Math.round(value * 65_536), 4 * i));
  return out;
}

const xyzTag = (values: readonly number[]) =>
  Buffer.concat([Buffer.from("XYZ \0\0\0\0", "latin1"), s15Fixed16s(values)]);

function powerCurve(power: number): Buffer {
  return Buffer.concat([Buffer.from("para\0\0\0\0\0\0\0\0", "latin1"), s15Fixed16s([power])]);
}

function description(text: string): Buffer {
  const length = Buffer.alloc(4);
  length.writeUInt32BE(text.length + 1);
  return padded(
    Buffer.concat([Buffer.from("desc\0\0\0\0", "latin1"), length, Buffer.from(`${text}\0`), Buffer.alloc(78)]),
  );
}

const copyright = () => padded(Buffer.from("text\0\0\0\0Made for a test, no rights reserved\0", "latin1"));

/** Every lattice colour in order, blue running fastest. */
function lattice(side: number, encode: (device: Vector3) => readonly number[]): number[] {
  const values: number[] = [];
  for (let r = 0; r < side; r++)
    for (let g = 0; g < side; g++)
      for (let b = 0; b < side; b++) values.push(...encode([r / (side - 1), g / (side - 1), b / (side - 1)]));
  return values;
}

const ramp = (count: number) => Array.from({ length: count }, (_, i) => i / (count - 1));

/** lut8Type and lut16Type: identity matrix, straight tables in and out, a lattice of Lab or XYZ. */
function lutTag(form: "lut8" | "lut16" | "lut16-xyz", side: number): Buffer {
  const wide = form !== "lut8";
  const head = Buffer.alloc(12);
  head.write(wide ? "mft2" : "mft1", "latin1");
  head.set([3, 3, side], 8);
  const counts = Buffer.alloc(4);
  counts.writeUInt16BE(wide ? 4096 : 256, 0);
  counts.writeUInt16BE(2, 2);
  const encode = (device: Vector3): readonly number[] => {
    // Linear tables would leave XYZ too coarse in the darks: there the tables before the lattice carry the power of 2.
    if (form === "lut16-xyz")
      return scannerXyz([0, 1, 2].map((c) => device[c]! ** (1 / scannerPowers[c]!)) as unknown as Vector3).map(
        (v) => v / (1 + 32_767 / 32_768),
      );
    const [L, a, b] = labOf(scannerXyz(device));
    return form === "lut8"
      ? [L / 100, (a + 128) / 255, (b + 128) / 255]
      : [(L / 100) * (65_280 / 65_535), ((a + 128) / 255) * (65_280 / 65_535), ((b + 128) / 255) * (65_280 / 65_535)];
  };
  const write = wide ? u16s : u8s;
  const tablesIn = scannerPowers.flatMap((power) =>
    ramp(wide ? 4096 : 256).map((x) => (form === "lut16-xyz" ? x ** power : x)),
  );
  const tablesOut = [0, 1, 2].flatMap(() => ramp(wide ? 2 : 256));
  return padded(
    Buffer.concat([
      head,
      s15Fixed16s([1, 0, 0, 0, 1, 0, 0, 0, 1]),
      wide ? counts : Buffer.alloc(0),
      write(tablesIn),
      write(lattice(side, encode)),
      write(tablesOut),
    ]),
  );
}

/** lutAToBType to XYZ: curves, a lattice of straight light with unequal sides, a matrix, and curves again. */
function aToBTag(): Buffer {
  const curves = Buffer.concat(scannerPowers.map(powerCurve));
  const straight = Buffer.concat([0, 1, 2].map(() => powerCurve(1)));
  const sides = [5, 6, 7] as const;
  const values: number[] = [];
  for (let r = 0; r < 5; r++) for (let g = 0; g < 6; g++) for (let b = 0; b < 7; b++) values.push(r / 4, g / 5, b / 6);
  const clut = padded(
    Buffer.concat([Buffer.from([...sides, ...Buffer.alloc(13)]), Buffer.from([2, 0, 0, 0]), u16s(values)]),
  );
  const matrix = s15Fixed16s([...scannerColorants.map((value) => value / (1 + 32_767 / 32_768)), 0, 0, 0]);
  const parts = { b: straight, matrix, m: straight, clut, a: curves };
  const head = Buffer.alloc(32);
  head.write("mAB ", "latin1");
  head.set([3, 3], 8);
  let at = 32;
  Object.values(parts).forEach((part, i) => {
    head.writeUInt32BE(at, 12 + 4 * i);
    at += part.length;
  });
  return padded(Buffer.concat([head, ...Object.values(parts)]));
}

/**
 * A profile of the invented scanner.
 * @param side points along each edge of the lattice
 */
export function scannerProfile(form: ProfileForm, side = 33): Buffer {
  const common: [string, Buffer][] = [
    ["desc", description("Invented flatbed")],
    ["cprt", copyright()],
    ["wtpt", xyzTag(d50)],
  ];
  const columns = [0, 1, 2].map((c) => [scannerColorants[c]!, scannerColorants[3 + c]!, scannerColorants[6 + c]!]);
  const own: [string, Buffer][] =
    form === "curves"
      ? ["r", "g", "b"].flatMap((name, c): [string, Buffer][] => [
          [`${name}XYZ`, xyzTag(columns[c]!)],
          [`${name}TRC`, powerCurve(scannerPowers[c]!)],
        ])
      : [["A2B0", form === "lutAToB" ? aToBTag() : lutTag(form, side)]];
  const tags = [...common, ...own];
  const table = Buffer.alloc(4 + tags.length * 12);
  table.writeUInt32BE(tags.length, 0);
  let offset = 128 + table.length;
  tags.forEach(([name, data], index) => {
    table.write(name, 4 + index * 12, "latin1");
    table.writeUInt32BE(offset, 8 + index * 12);
    table.writeUInt32BE(data.length, 12 + index * 12);
    offset += data.length;
  });
  const header = Buffer.alloc(128);
  header.writeUInt32BE(offset, 0);
  // Parametric curves and lutAToBType belong to version 4, the older tables to 2.
  header.writeUInt32BE(form === "curves" || form === "lutAToB" ? 0x04200000 : 0x02400000, 8);
  header.write(`scnrRGB ${form === "lut8" || form === "lut16" ? "Lab " : "XYZ "}`, 12, "latin1");
  header.write("acsp", 36, "latin1");
  header.writeInt32BE(Math.round(d50[0] * 65_536), 68);
  header.writeInt32BE(Math.round(d50[1] * 65_536), 72);
  header.writeInt32BE(Math.round(d50[2] * 65_536), 76);
  return Buffer.concat([header, table, ...tags.map(([, data]) => data)]);
}
