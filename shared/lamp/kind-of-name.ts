/**
 * The kind of light that a name typed in place lets guess; the light's page changes it.
 * @param name in English: "the sun", "open shade on the north side", "Box 2"
 */
export function lampKindOfName(name: string): "sun" | "shade" | "other" {
  if (/\bshade\b/i.test(name)) return "shade";
  return /\bsun\b/i.test(name) ? "sun" : "other";
}
