// A small ICC profile (version 2.1, three colorants, one pure power curve), as files of wide-gamut pictures carry them.

const tagBytes = 20;

function xyzTag([x, y, z]: readonly [number, number, number]): Buffer {
  const tag = Buffer.alloc(tagBytes);
  tag.write("XYZ ", 0, "latin1");
  [x, y, z].forEach((value, index) => tag.writeInt32BE(Math.round(value * 65_536), 8 + index * 4));
  return tag;
}

function powerTag(gamma: number): Buffer {
  const tag = Buffer.alloc(16);
  tag.write("curv", 0, "latin1");
  tag.writeUInt32BE(1, 8);
  tag.writeUInt16BE(Math.round(gamma * 256), 12);
  return tag;
}

function textTag(text: string): Buffer {
  const tag = Buffer.alloc(12 + text.length + 1);
  tag.write("text", 0, "latin1");
  tag.write(text, 8, "latin1");
  return Buffer.concat([tag, Buffer.alloc((4 - (tag.length % 4)) % 4)]);
}

function descriptionTag(text: string): Buffer {
  const tag = Buffer.alloc(12 + text.length + 1 + 78);
  tag.write("desc", 0, "latin1");
  tag.writeUInt32BE(text.length + 1, 8);
  tag.write(text, 12, "latin1");
  return Buffer.concat([tag, Buffer.alloc((4 - (tag.length % 4)) % 4)]);
}

/**
 * The wide-gamut RGB space of 1998: its colorants under D50 and its power of 563/256.
 * Source: the power from the open colour-science library; colorants from memory; layout ICC.1, from memory, read by
 *   LittleCMS inside libvips.
 */
export function wideGammaProfile(): Buffer {
  const tags: [string, Buffer][] = [
    ["desc", descriptionTag("Wide gamma space")],
    ["cprt", textTag("No copyright, made for a test")],
    ["wtpt", xyzTag([0.9642, 1, 0.8249])],
    ["rXYZ", xyzTag([0.60974, 0.31111, 0.01947])],
    ["gXYZ", xyzTag([0.20528, 0.62567, 0.06087])],
    ["bXYZ", xyzTag([0.14919, 0.06322, 0.74457])],
    ["rTRC", powerTag(563 / 256)],
    ["gTRC", powerTag(563 / 256)],
    ["bTRC", powerTag(563 / 256)],
  ];
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
  header.writeUInt32BE(0x02100000, 8);
  header.write("mntrRGB XYZ ", 12, "latin1");
  [2026, 1, 1, 0, 0, 0].forEach((value, index) => header.writeUInt16BE(value, 24 + index * 2));
  header.write("acsp", 36, "latin1");
  xyzTag([0.9642, 1, 0.8249]).copy(header, 68, 8);
  return Buffer.concat([header, table, ...tags.map(([, data]) => data)]);
}
