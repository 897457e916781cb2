// Several small negatives on films of one size, at true size.
import type { PackedPicture } from "#shared/format/packed-picture.ts";
import { addFilmOfPictures, embedPacked, pdfFile, type EmbeddedPicture } from "./pdf-document.ts";

/** Where the pictures lie, film by film, on the film as it is printed: mirrored where the pictures are. */
export type FilmPlaces = readonly (readonly {
  /** Index of the picture. */
  readonly index: number;
  /** Its left upper corner [mm]. */
  readonly xMm: number;
  readonly yMm: number;
}[])[];

/** One page a film, written into a file; each picture is written as soon as it comes and held no longer. */
export async function contactPdfFile({
  path,
  title,
  madeAt,
  pictures,
  place,
  ...parts
}: {
  readonly path: string;
  readonly pictures: AsyncIterable<PackedPicture>;
  /** Says where the pictures lie, once their sizes are known. */
  readonly place: (pictures: readonly Pick<PackedPicture, "width" | "height">[]) => FilmPlaces;
  readonly filmMm: { readonly widthMm: number; readonly heightMm: number };
  readonly ground: readonly [number, number, number];
  readonly dpi: number;
  readonly title: string;
  readonly madeAt: Date;
}): Promise<void> {
  await pdfFile({
    path,
    title,
    madeAt,
    isTrueSize: true,
    async draw(pdf, written) {
      const embedded: EmbeddedPicture[] = [];
      for await (const picture of pictures) {
        embedded.push(embedPacked(pdf, picture));
        await written();
      }
      place(embedded).forEach((film, number) =>
        addFilmOfPictures(
          pdf,
          film.flatMap(({ index, xMm, yMm }) => {
            const picture = embedded[index];
            return picture === undefined ? [] : [{ picture, xMm, yMm }];
          }),
          { ...parts, name: `Film${number + 1}` },
        ),
      );
    },
  });
}
