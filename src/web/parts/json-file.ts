import { InputError } from "#shared/errors.ts";

/** The JSON of an uploaded file. @throws InputError "bad-request" */
export function parsedJson(bytes: Uint8Array): unknown {
  try {
    return JSON.parse(new TextDecoder("utf-8", { fatal: true }).decode(bytes));
  } catch (cause) {
    throw new InputError(
      "bad-request",
      "This file is not readable JSON: choose the file of shared calibrations as it was saved.",
      { field: "calibrations", cause },
    );
  }
}
