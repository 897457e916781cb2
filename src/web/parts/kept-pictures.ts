// The pictures of a form: stored as they come, then named by their ids in the form's own fields, so that none is sent
// twice.
import { InputError } from "#shared/errors.ts";
import type { StoreReader } from "#src/store/store.ts";
import type { PrintPictures } from "#src/studio/tests/measure-print.ts";
import { keepPicture } from "#src/studio/tests/preview-picture.ts";
import type { Tools } from "#src/studio/tools.ts";
import { problemFrom } from "#src/web/problem.ts";
import { maxFiles, type UploadedFile } from "#src/web/upload.ts";
import { textOf, type FieldErrors, type FormValues } from "./form-values.ts";

/** Further pictures of one print that a form carries: as many as come with the first one. */
export const mostFurther = maxFiles - 1;
const mainField = "pictureId";
const evenLightField = "evenLightPictureId";
const furtherFields: readonly string[] = Array.from({ length: mostFurther }, (_, i) => `furtherPictureId.${i}`);

/** What a page shows of kept pictures: fields that carry them on; the further ones can be unticked. */
export interface KeptPictures {
  /** Id of the picture of the print; empty when there is none. */
  readonly main: string;
  readonly evenLight: KeptField | null;
  readonly further: readonly KeptField[];
}
interface KeptField {
  readonly name: string;
  readonly pictureId: string;
}

/** The pictures that a form's fields name; names of pictures that are gone are left out. */
export function keptPictures(store: StoreReader, values: FormValues): KeptPictures {
  const fieldsOf = (names: readonly string[]): KeptField[] =>
    names
      .map((name) => ({ name, pictureId: textOf(values, name) }))
      .filter(({ pictureId }) => pictureId !== "" && store.pictures.find(pictureId) !== undefined);
  return {
    main: fieldsOf([mainField])[0]?.pictureId ?? "",
    evenLight: fieldsOf([evenLightField])[0] ?? null,
    further: fieldsOf(furtherFields),
  };
}

/** The same pictures as a print is measured by. */
export function printPicturesOf({ main, evenLight, further }: KeptPictures): PrintPictures {
  return {
    // None where an instrument measured the print and nobody photographed it.
    photos: main === "" ? [] : [main, ...further.map(({ pictureId }) => pictureId)],
    ...(evenLight === null ? {} : { evenLight: evenLight.pictureId }),
  };
}

export interface SentPictures {
  /** The form's fields, naming every picture. */
  readonly values: FormValues;
  readonly errors: FieldErrors;
  /** Of the trouble with the picture of the print; 400 for any other. */
  readonly status: number;
}

/** Stores what came as files. New files take the place of kept ones. */
export async function keepSentPictures(
  tools: Tools,
  values: FormValues,
  files: readonly UploadedFile[],
): Promise<SentPictures> {
  const sent = (field: string): Uint8Array[] =>
    files.filter((file) => file.field === field && file.bytes.byteLength > 0).map(({ bytes }) => bytes);
  const named: Record<string, string> = {};
  const errors: FieldErrors = {};
  let status = 400;
  const keep = async (name: string, errorField: string, bytes: Uint8Array): Promise<void> => {
    named[name] = "";
    try {
      named[name] = (await keepPicture(tools, bytes)).pictureId;
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      if (errorField === "photo") ({ status } = problemFrom(error));
      errors[errorField] = error.detail;
    }
  };
  const [main] = sent("photo");
  const [evenLight] = sent("evenLight");
  const further = sent("furtherPhoto");
  if (main !== undefined) await keep(mainField, "photo", main);
  if (evenLight !== undefined) await keep(evenLightField, "evenLight", evenLight);
  if (further.length > 0) Object.assign(named, Object.fromEntries(furtherFields.map((name) => [name, ""])));
  for (const [i, bytes] of further.slice(0, mostFurther).entries())
    await keep(furtherFields[i]!, "furtherPhoto", bytes);
  if (further.length > mostFurther)
    errors["furtherPhoto"] ??= `Only the first ${mostFurther} further pictures are kept.`;
  return { values: { ...values, ...named }, errors, status };
}
