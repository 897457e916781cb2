// Turns a small HEIC file as a phone held upright does: by a rotation box (ISO/IEC 23008-12, clause 6.5.10), the pixels
// left as they are.

interface Box {
  readonly at: number;
  readonly size: number;
}

/** Place of a box by its path; full boxes have four bytes before their children. */
export function boxAt(file: Buffer, path: readonly string[]): Box {
  let [from, to] = [0, file.length];
  let box: Box | null = null;
  for (const name of path) {
    box = null;
    for (let at = from; at + 8 <= to; at += file.readUInt32BE(at)) {
      if (file.toString("latin1", at + 4, at + 8) === name) {
        box = { at, size: file.readUInt32BE(at) };
        break;
      }
    }
    if (box === null) throw new Error(`No box ${name} in the file.`);
    [from, to] = [box.at + (name === "meta" ? 12 : 8), box.at + box.size];
  }
  return box!;
}

/**
 * The file with so many quarter turns counter-clockwise asked for. Only for files laid out as libheif's example encoder
 * does.
 */
export function withQuarterTurns(heic: Buffer, turns: 1 | 2 | 3): Buffer {
  const properties = boxAt(heic, ["meta", "iprp", "ipco"]);
  const associations = boxAt(heic, ["meta", "iprp", "ipma"]);
  let count = 0;
  for (let at = properties.at + 8; at < properties.at + properties.size; at += heic.readUInt32BE(at)) count++;
  const rotation = Buffer.from([0, 0, 0, 9, ...Buffer.from("irot"), turns]);
  // The first (and only) item: identifier of two bytes, then how many properties, one byte each.
  const itemCountAt = associations.at + 12;
  const propertyCountAt = itemCountAt + 4 + 2;
  const afterProperties = propertyCountAt + 1 + heic[propertyCountAt]!;
  const file = Buffer.from(heic);
  file[propertyCountAt]!++;
  const grow = (path: readonly string[], by: number) => {
    const { at, size } = boxAt(heic, path);
    file.writeUInt32BE(size + by, at);
  };
  grow(["meta"], rotation.length + 1);
  grow(["meta", "iprp"], rotation.length + 1);
  grow(["meta", "iprp", "ipco"], rotation.length);
  grow(["meta", "iprp", "ipma"], 1);
  const locations = boxAt(heic, ["meta", "iloc"]);
  const items = file.readUInt16BE(locations.at + 14);
  // Each item: identifier and data reference of two bytes, base offset of four, extent count of two, extents of four
  // and four.
  let at = locations.at + 16;
  for (let item = 0; item < items; item++) {
    file.writeUInt32BE(file.readUInt32BE(at + 4) + rotation.length + 1, at + 4);
    at += 10 + 8 * file.readUInt16BE(at + 8);
  }
  return Buffer.concat([
    file.subarray(0, properties.at + properties.size),
    rotation,
    file.subarray(properties.at + properties.size, afterProperties),
    Buffer.from([0x80 | (count + 1)]),
    file.subarray(afterProperties),
  ]);
}

/** The file with its colours named by code points (ITU-T H.273) instead of by a profile. */
export function withNamedColours(
  heic: Buffer,
  codes: { readonly primaries: number; readonly transfer: number },
): Buffer {
  const file = Buffer.from(heic);
  const at = file.indexOf("colrprof", 0, "latin1");
  file.write("nclx", at + 4, "latin1");
  file.writeUInt16BE(codes.primaries, at + 8);
  file.writeUInt16BE(codes.transfer, at + 10);
  file.writeUInt16BE(6, at + 12);
  file[at + 14] = 0x80;
  return file;
}
