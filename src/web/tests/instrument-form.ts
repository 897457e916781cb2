// The fields of the new-test form for an instrument's numbers.
import type { InstrumentQuantity, InstrumentRequest } from "#shared/schema/measured/instrument.ts";
import { numberOf, textOf, type FormValues } from "#src/web/parts/form-values.ts";
import type { UploadedFile } from "#src/web/upload.ts";

interface QuantityChoice {
  readonly value: InstrumentQuantity | "";
  readonly label: string;
}

/** What numbers without names of columns may be. */
export const quantityChoices: readonly QuantityChoice[] = [
  { value: "", label: "as the file says; plain numbers are red densities, three in a line L*a*b*" },
  { value: "red-density", label: "density through the red filter" },
  { value: "visual-density", label: "visual density" },
  { value: "lab", label: "L* a* b* (D50, 2 degrees)" },
  { value: "xyz", label: "X Y Z (D50, 2 degrees, white 100)" },
  { value: "spectra", label: "spectra, from a file with the wavelengths as columns" },
];

/** The form's fields with the text of a file that came along, which takes the place of what was typed. */
export function withInstrumentFile(values: FormValues, files: readonly UploadedFile[]): FormValues {
  const file = files.find(({ field, bytes }) => field === "instrumentFile" && bytes.byteLength > 0);
  return file === undefined ? values : { ...values, instrumentText: textOfFile(file.bytes) };
}

/** A file's text by its byte order mark: UTF-16 as some programs write it, else UTF-8. Source: from memory */
function textOfFile(bytes: Uint8Array): string {
  const [first, second] = bytes;
  if (first === 0xff && second === 0xfe) return new TextDecoder("utf-16le").decode(bytes);
  if (first === 0xfe && second === 0xff) return new TextDecoder("utf-16be").decode(bytes);
  return new TextDecoder().decode(bytes);
}

/** The instrument's part of a test's request, to be checked by its schema; nothing where the form has no numbers. */
export function instrumentFrom(values: FormValues): { instrument?: unknown } {
  const text = textOf(values, "instrumentText");
  if (text === "") return {};
  return {
    instrument: {
      text,
      quantity: textOf(values, "instrumentQuantity") || undefined,
      scaleName: textOf(values, "instrumentScale") || undefined,
      sigmaDensity: numberOf(values, "instrumentSigma"),
      ...(textOf(values, "instrumentDrawn") === "yes" ? { isDrawn: true } : {}),
    },
  };
}

export function instrumentValues(instrument: InstrumentRequest | undefined): FormValues {
  if (instrument === undefined) return {};
  return {
    instrumentText: instrument.text,
    instrumentQuantity: instrument.quantity ?? "",
    instrumentScale: instrument.scaleName ?? "",
    instrumentSigma: String(instrument.sigmaDensity),
  };
}
