// Grey PNGs as PDF pages at true size. The packed pixels go into the file as they are: nothing is decoded or scaled.
import PDFDocument from "pdfkit";

const pointsPerInch = 72;
const chunkHeadBytes = 8;
const chunkEndBytes = 4;

interface PackedPicture {
  readonly width: number;
  readonly height: number;
  readonly bits: number;
  readonly packed: readonly Uint8Array[];
}

/** Size and packed rows of a grey PNG without interlacing. Source: png-3 clauses 5.3 and 11.2 */
function unwrapPng(png: Uint8Array): PackedPicture {
  const view = new DataView(png.buffer, png.byteOffset, png.byteLength);
  const packed: Uint8Array[] = [];
  let head: { width: number; height: number; bits: number } | undefined;
  for (let at = 8; at + chunkHeadBytes <= png.length;) {
    const length = view.getUint32(at);
    const type = String.fromCharCode(...png.subarray(at + 4, at + 8));
    const data = png.subarray(at + chunkHeadBytes, at + chunkHeadBytes + length);
    if (type === "IHDR") head = { width: view.getUint32(at + 8), height: view.getUint32(at + 12), bits: data[8]! };
    if (type === "IDAT") packed.push(data);
    at += chunkHeadBytes + length + chunkEndBytes;
  }
  if (head === undefined || packed.length === 0) throw new TypeError("Not a whole PNG.");
  return { ...head, packed };
}

/**
 * One page for each picture, exactly as large as its pixels at `dpi`.
 * Source: iso-32000-1 clauses 7.4.4.4 (predictor 15 for PNG rows), 8.9.5 (image dictionaries), 12.2 (PrintScaling)
 */
export function negativePdf({
  pngs,
  dpi,
  title,
  madeAt,
}: {
  pngs: readonly Uint8Array[];
  dpi: number;
  title: string;
  madeAt: Date;
}): Promise<Uint8Array> {
  const document = new PDFDocument({
    autoFirstPage: false,
    margin: 0,
    info: { Title: title, Producer: "Wedgewright", Creator: "Wedgewright", CreationDate: madeAt },
  });
  // Viewers open the print dialogue with "no scaling". The library ends this object itself.
  (document as unknown as { _root: { data: Record<string, unknown> } })._root.data.ViewerPreferences = document.ref({
    PrintScaling: "None",
  });
  const chunks: Uint8Array[] = [];
  const whole = new Promise<Uint8Array>((resolve, reject) => {
    document.on("data", (chunk: Uint8Array) => chunks.push(chunk));
    document.on("end", () => resolve(Buffer.concat(chunks)));
    document.on("error", reject);
  });
  for (const [index, png] of pngs.entries()) {
    const { width, height, bits, packed } = unwrapPng(png);
    const size: [number, number] = [(width / dpi) * pointsPerInch, (height / dpi) * pointsPerInch];
    document.addPage({ size, margin: 0 });
    const image = document.ref({
      Type: "XObject",
      Subtype: "Image",
      Width: width,
      Height: height,
      ColorSpace: "DeviceGray",
      BitsPerComponent: bits,
      Interpolate: false,
      Filter: "FlateDecode",
      DecodeParms: { Predictor: 15, Colors: 1, BitsPerComponent: bits, Columns: width },
    });
    for (const part of packed.slice(0, -1)) image.write(Buffer.from(part.buffer, part.byteOffset, part.byteLength));
    image.end(Buffer.from(packed.at(-1)!));
    const name = `Negative${index + 1}`;
    (document.page as unknown as { xobjects: Record<string, unknown> }).xobjects[name] = image;
    (document as unknown as { addContent(text: string): void }).addContent(
      `q ${size[0]} 0 0 ${-size[1]} 0 ${size[1]} cm /${name} Do Q`,
    );
  }
  document.end();
  return whole;
}
