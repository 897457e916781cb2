// A large HEIC file as phones write it: a grid of tiles, each a picture of its own (ISO/IEC 23008-12, clauses 6.6.2.3
// and 9.3). Here all tiles are one and the same small picture, so that no encoder is needed.
import { boxAt } from "./heic-boxes.ts";

const box = (name: string, ...parts: readonly Buffer[]): Buffer => {
  const inside = Buffer.concat(parts);
  const head = Buffer.alloc(8);
  head.writeUInt32BE(8 + inside.length);
  head.write(name, 4, "latin1");
  return Buffer.concat([head, inside]);
};
const fullBox = (name: string, version: number, flags: number, ...parts: readonly Buffer[]): Buffer =>
  box(name, Buffer.from([version, flags >> 16, (flags >> 8) & 255, flags & 255]), ...parts);
const of16 = (...values: readonly number[]): Buffer =>
  Buffer.concat(values.map((value) => Buffer.from([value >> 8, value & 255])));
const of32 = (value: number): Buffer => Buffer.from(Uint8Array.of(value >>> 24, value >>> 16, value >>> 8, value));

/** Bytes of a box before what it holds. */
const headBytes = 8;

/**
 * A picture of rows and columns of one tile.
 * @param tile HEIC file of one picture, laid out as libheif's example encoder does
 * @param size of the tile [px]
 */
export function heicGrid(
  tile: Buffer,
  {
    tileWidth,
    tileHeight,
    rows,
    columns,
  }: { readonly tileWidth: number; readonly tileHeight: number; readonly rows: number; readonly columns: number },
): Buffer {
  const property = (name: string): Buffer => {
    const { at, size } = boxAt(tile, ["meta", "iprp", "ipco", name]);
    return tile.subarray(at, at + size);
  };
  const ftyp = tile.subarray(0, tile.readUInt32BE(0));
  const hdlrBox = boxAt(tile, ["meta", "hdlr"]);
  const hdlr = tile.subarray(hdlrBox.at, hdlrBox.at + hdlrBox.size);
  const media = boxAt(tile, ["mdat"]);
  const coded = tile.subarray(media.at + headBytes, media.at + media.size);
  const tiles = Array.from({ length: rows * columns }, (_, i) => i + 1);
  const gridId = tiles.length + 1;
  const [width, height] = [tileWidth * columns, tileHeight * rows];
  const grid = Buffer.concat([Buffer.from([0, 0, rows - 1, columns - 1]), of16(width, height)]);
  const entry = (id: number, type: string) =>
    fullBox("infe", 2, 0, of16(id, 0), Buffer.from(type, "latin1"), Buffer.from([0]));
  const iinf = fullBox("iinf", 0, 0, of16(gridId), ...tiles.map((id) => entry(id, "hvc1")), entry(gridId, "grid"));
  const iref = fullBox("iref", 0, 0, box("dimg", of16(gridId, tiles.length, ...tiles)));
  const ispe = (w: number, h: number) => fullBox("ispe", 0, 0, of32(w), of32(h));
  // Properties by their place: 1 decoder, 2 tile size, 3 colours, 4 bits, 5 size of the whole.
  const ipco = box(
    "ipco",
    property("hvcC"),
    ispe(tileWidth, tileHeight),
    property("colr"),
    property("pixi"),
    ispe(width, height),
  );
  const holds = (id: number, ...places: readonly number[]) =>
    Buffer.concat([of16(id), Buffer.from([places.length, ...places])]);
  const ipma = fullBox(
    "ipma",
    0,
    0,
    of32(gridId),
    ...tiles.map((id) => holds(id, 0x81, 2, 3, 4)),
    holds(gridId, 5, 3, 4),
  );
  // Offset and length of four bytes each, one extent an item.
  const iloc = (codedAt: number) =>
    fullBox(
      "iloc",
      0,
      0,
      Buffer.from([0x44, 0]),
      of16(gridId),
      ...tiles.map((id) => Buffer.concat([of16(id, 0, 1), of32(codedAt), of32(coded.length)])),
      Buffer.concat([of16(gridId, 0, 1), of32(codedAt + coded.length), of32(grid.length)]),
    );
  const meta = (codedAt: number) =>
    fullBox(
      "meta",
      0,
      0,
      hdlr,
      fullBox("pitm", 0, 0, of16(gridId)),
      iloc(codedAt),
      iinf,
      iref,
      box("iprp", ipco, ipma),
    );
  const codedAt = ftyp.length + meta(0).length + headBytes;
  return Buffer.concat([ftyp, meta(codedAt), box("mdat", coded, grid)]);
}
