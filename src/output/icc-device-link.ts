// A tone curve as an ICC version 4 DeviceLink: grey to grey, or the same curve for red, green and blue.

export interface DeviceLink {
  /** Shown by programs that list profiles. */
  readonly description: string;
  /** Creation time. */
  readonly madeAt: Date;
  readonly space: "grey" | "rgb";
  /** Output 0-1 for evenly spaced inputs 0-1, both ends included; 2 to 4096 entries. */
  readonly curve: readonly number[];
}

const spaceSignature = { grey: "GRAY", rgb: "RGB " } as const;
/** Profile version 4.3. Source: icc-profile-format clause 7.2.4 */
const profileVersion = 0x04_30_00_00;
/** D50 white of the profile connection space as s15Fixed16. Source: icc-profile-format clause 7.2.16 */
const d50 = [0x0000_f6d6, 0x0001_0000, 0x0000_d32d] as const;

/**
 * The bytes of a DeviceLink profile. The curve is the input table of a lut16Type whose grid is the identity.
 * Source: icc-profile-format clauses 7.2 (header), 8.6 (DeviceLink: required tags), 10.8 (lut16Type), 10.13
 *   (multiLocalizedUnicodeType), 10.17 (profileSequenceDescType).
 */
export function deviceLinkProfile({ description, madeAt, space, curve }: DeviceLink): Uint8Array {
  if (curve.length < 2 || curve.length > 4096)
    throw new RangeError(`A lut16 table has 2 to 4096 entries, not ${curve.length}.`);
  const tags: [signature: string, data: Buffer][] = [
    ["desc", localizedText(description)],
    ["cprt", localizedText("No copyright; use freely.")],
    ["pseq", profileSequence()],
    ["A2B0", lut16(space === "grey" ? 1 : 3, curve)],
  ];
  const tableBytes = 4 + 12 * tags.length;
  let offset = headerBytes + tableBytes;
  const table = Buffer.alloc(tableBytes);
  table.writeUInt32BE(tags.length, 0);
  for (const [index, [signature, data]] of tags.entries()) {
    const at = 4 + 12 * index;
    table.write(signature, at, "latin1");
    table.writeUInt32BE(offset, at + 4);
    table.writeUInt32BE(data.length, at + 8);
    offset += padded(data).length;
  }
  return Buffer.concat([header(offset, spaceSignature[space], madeAt), table, ...tags.map(([, data]) => padded(data))]);
}

const headerBytes = 128;

function header(size: number, space: string, madeAt: Date): Buffer {
  const bytes = Buffer.alloc(headerBytes);
  bytes.writeUInt32BE(size, 0);
  bytes.writeUInt32BE(profileVersion, 8);
  bytes.write("link", 12, "latin1");
  bytes.write(space, 16, "latin1");
  bytes.write(space, 20, "latin1");
  [
    madeAt.getUTCFullYear(),
    madeAt.getUTCMonth() + 1,
    madeAt.getUTCDate(),
    madeAt.getUTCHours(),
    madeAt.getUTCMinutes(),
    madeAt.getUTCSeconds(),
  ].forEach((part, index) => bytes.writeUInt16BE(part, 24 + 2 * index));
  bytes.write("acsp", 36, "latin1");
  d50.forEach((value, index) => bytes.writeUInt32BE(value, 68 + 4 * index));
  return bytes;
}

function padded(data: Buffer): Buffer {
  return Buffer.concat([data, Buffer.alloc((4 - (data.length % 4)) % 4)]);
}

/** multiLocalizedUnicodeType with one record, English. */
function localizedText(text: string): Buffer {
  const utf16 = Buffer.from(text, "utf16le").swap16();
  const bytes = Buffer.alloc(28);
  bytes.write("mluc", 0, "latin1");
  bytes.writeUInt32BE(1, 8);
  bytes.writeUInt32BE(12, 12);
  bytes.write("enUS", 16, "latin1");
  bytes.writeUInt32BE(utf16.length, 20);
  bytes.writeUInt32BE(28, 24);
  return Buffer.concat([bytes, utf16]);
}

/**
 * profileSequenceDescType with one entry that names no maker and no model: the link was measured, not joined from
 * profiles.
 */
function profileSequence(): Buffer {
  const head = Buffer.alloc(12);
  head.write("pseq", 0, "latin1");
  head.writeUInt32BE(1, 8);
  return Buffer.concat([head, Buffer.alloc(20), padded(localizedText("")), padded(localizedText(""))]);
}

/** lut16Type: identity matrix, one input curve for each channel, a 2-point identity grid, straight output curves. */
function lut16(channels: 1 | 3, curve: readonly number[]): Buffer {
  const head = Buffer.alloc(52);
  head.write("mft2", 0, "latin1");
  head.writeUInt8(channels, 8);
  head.writeUInt8(channels, 9);
  head.writeUInt8(2, 10);
  for (const place of [0, 4, 8]) head.writeInt32BE(0x1_0000, 12 + 4 * place);
  head.writeUInt16BE(curve.length, 48);
  head.writeUInt16BE(2, 50);
  const input = u16(curve.map((output) => Math.round(Math.min(1, Math.max(0, output)) * 65_535)));
  const corners = Array.from({ length: 2 ** channels }, (_, corner) =>
    Array.from({ length: channels }, (_, channel) => (corner & (1 << (channels - 1 - channel)) ? 65_535 : 0)),
  ).flat();
  return Buffer.concat([
    head,
    ...Array.from({ length: channels }, () => input),
    u16(corners),
    ...Array.from({ length: channels }, () => u16([0, 65_535])),
  ]);
}

function u16(values: readonly number[]): Buffer {
  const bytes = Buffer.alloc(2 * values.length);
  values.forEach((value, index) => bytes.writeUInt16BE(value, 2 * index));
  return bytes;
}
