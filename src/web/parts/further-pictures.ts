// Pictures beside the first one, kept while a form comes back: what was chosen once need not be chosen again.
import { InputError } from "#shared/errors.ts";
import { keepPicture } from "#src/studio/tests/preview-picture.ts";
import type { Tools } from "#src/studio/tools.ts";
import { maxFiles } from "#src/web/upload.ts";
import { textOf, type FieldErrors, type FormValues } from "./form-values.ts";

/** Further pictures of one print that a form carries: as many as come with the first one. */
const mostFurther = maxFiles - 1;
const evenLightField = "evenLightPictureId";
const furtherFields: readonly string[] = Array.from({ length: mostFurther }, (_, i) => `furtherPictureId.${i}`);

/** Pictures as they came with a form: files, or names of files that came before. */
export interface FurtherPictures {
  readonly evenLight: Uint8Array | string | null;
  readonly photos: readonly (Uint8Array | string)[];
}

/** What a page shows of kept pictures: fields that carry them on, and that can be unticked. */
export interface KeptFurther {
  readonly evenLight: KeptField | null;
  readonly photos: readonly KeptField[];
}
interface KeptField {
  readonly name: string;
  readonly pictureId: string;
}

/** The pictures of a form. New files take the place of kept ones. */
export function furtherPictures(
  { store }: Tools,
  values: FormValues,
  sent: { evenLight?: Uint8Array; photos: readonly Uint8Array[] },
): FurtherPictures {
  const { evenLight, photos } = keptFurther({ store }, values);
  return {
    evenLight: sent.evenLight ?? evenLight?.pictureId ?? null,
    photos: sent.photos.length > 0 ? sent.photos : photos.map(({ pictureId }) => pictureId),
  };
}

/** Kept pictures among the fields of a form; names of pictures that are gone are left out. */
export function keptFurther({ store }: Pick<Tools, "store">, values: FormValues): KeptFurther {
  const fieldsOf = (names: readonly string[]): KeptField[] =>
    names
      .map((name) => ({ name, pictureId: textOf(values, name) }))
      .filter(({ pictureId }) => pictureId !== "" && store.pictures.find(pictureId) !== undefined);
  return { evenLight: fieldsOf([evenLightField])[0] ?? null, photos: fieldsOf(furtherFields) };
}

/** The files themselves. @throws InputError "not-found" when a kept one is gone */
export async function furtherFiles(
  { store }: Tools,
  { evenLight, photos }: FurtherPictures,
): Promise<{ photos: Uint8Array[]; evenLight?: Uint8Array }> {
  const fileOf = async (picture: Uint8Array | string): Promise<Uint8Array> =>
    typeof picture === "string" ? store.pictures.read(picture) : picture;
  const files: Uint8Array[] = [];
  for (const photo of photos) files.push(await fileOf(photo));
  return { photos: files, ...(evenLight === null ? {} : { evenLight: await fileOf(evenLight) }) };
}

/**
 * Keeps the pictures for a form that comes back.
 * @returns the fields that carry them, and what is wrong with those that cannot be kept
 */
export async function keepFurther(
  tools: Tools,
  { evenLight, photos }: FurtherPictures,
): Promise<{ values: FormValues; errors: FieldErrors }> {
  const values: Record<string, string> = Object.fromEntries(
    [evenLightField, ...furtherFields].map((name) => [name, ""]),
  );
  const errors: FieldErrors = {};
  const keep = async (name: string, errorField: string, picture: Uint8Array | string): Promise<void> => {
    try {
      values[name] = typeof picture === "string" ? picture : (await keepPicture(tools, picture)).pictureId;
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      errors[errorField] = error.detail;
    }
  };
  if (evenLight !== null) await keep(evenLightField, "evenLight", evenLight);
  if (photos.length > mostFurther) errors["furtherPhoto"] = `Only the first ${mostFurther} further pictures are kept.`;
  for (const [i, photo] of photos.slice(0, mostFurther).entries()) await keep(furtherFields[i]!, "furtherPhoto", photo);
  return { values, errors };
}
