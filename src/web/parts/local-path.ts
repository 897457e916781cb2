/** A path of this server to go back to; anything else becomes the first page. */
export function localPath(value: unknown): string {
  return typeof value === "string" && /^\/(?![/\\])[^\s\\]*$/.test(value) ? value : "/";
}
