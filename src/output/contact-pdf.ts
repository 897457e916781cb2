// Several small negatives on films of one size, at true size.
import { addFilmOfPictures, pdfDocument, type PlacedPicture } from "./pdf-document.ts";

/** One page a film. Places are those on the film, mirrored where the pictures are. */
export function contactPdf({
  films,
  ...parts
}: {
  readonly films: readonly (readonly PlacedPicture[])[];
  readonly filmMm: { readonly widthMm: number; readonly heightMm: number };
  readonly ground: readonly [number, number, number];
  readonly dpi: number;
  readonly title: string;
  readonly madeAt: Date;
}): Promise<Uint8Array> {
  const { title, madeAt } = parts;
  return pdfDocument({
    title,
    madeAt,
    isTrueSize: true,
    draw: (pdf) =>
      films.forEach((pictures, index) => addFilmOfPictures(pdf, pictures, { ...parts, name: `Film${index + 1}` })),
  });
}
