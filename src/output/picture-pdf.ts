// One picture on one page at true size. The picture's own grey values reach the printer unchanged.
import PDFDocument from "pdfkit";

const pointsPerMm = 72 / 25.4;

export interface PicturePage {
  readonly png: Uint8Array;
  readonly pageWidthMm: number;
  readonly pageHeightMm: number;
  /** Where the picture lies and how large it is; the whole page when absent [mm]. */
  readonly place?: { readonly xMm: number; readonly yMm: number; readonly widthMm: number; readonly heightMm: number };
  readonly title: string;
}

/** A PDF of one page that asks viewers not to scale it when printing. */
export function picturePdf({
  png,
  pageWidthMm,
  pageHeightMm,
  place = { xMm: 0, yMm: 0, widthMm: pageWidthMm, heightMm: pageHeightMm },
  title,
}: PicturePage): Promise<Uint8Array> {
  const document = new PDFDocument({
    size: [pageWidthMm * pointsPerMm, pageHeightMm * pointsPerMm],
    margin: 0,
    info: { Title: title, Producer: "Wedgewright", Creator: "Wedgewright" },
  });
  // ISO 32000-1, table 150: the print dialogue opens with "no scaling". The library ends this object itself.
  (document as unknown as { _root: { data: Record<string, unknown> } })._root.data.ViewerPreferences = document.ref({
    PrintScaling: "None",
  });
  const chunks: Uint8Array[] = [];
  const whole = new Promise<Uint8Array>((resolve, reject) => {
    document.on("data", (chunk: Uint8Array) => chunks.push(chunk));
    document.on("end", () => resolve(Buffer.concat(chunks)));
    document.on("error", reject);
  });
  document.image(
    Buffer.from(png.buffer, png.byteOffset, png.byteLength),
    place.xMm * pointsPerMm,
    place.yMm * pointsPerMm,
    { width: place.widthMm * pointsPerMm, height: place.heightMm * pointsPerMm },
  );
  document.end();
  return whole;
}
