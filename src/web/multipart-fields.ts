import { withLengthsInMm } from "#shared/format/length.ts";

/**
 * The text fields of a multipart form as the parser left them, lengths in millimetres, the last of a name counting.
 * What is no text, such as the inner part of a name written with brackets, is left out.
 */
export function plainFields(body: unknown): Record<string, string> {
  const fields: Record<string, string> = {};
  if (typeof body !== "object" || body === null) return fields;
  for (const [name, value] of Object.entries(body)) {
    const last: unknown = Array.isArray(value) ? value.at(-1) : value;
    if (typeof last === "string") fields[name] = last;
  }
  return withLengthsInMm(fields);
}
