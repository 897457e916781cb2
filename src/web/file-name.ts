/** A file name of plain letters, digits and dashes from several words, without ending. */
export function plainFileName(words: readonly string[]): string {
  return (
    words
      .map((word) =>
        word
          .normalize("NFKD")
          .replace(/\p{M}/gu, "")
          .replace(/[^0-9A-Za-z]+/g, "-")
          .replace(/^-+|-+$/g, "")
          .slice(0, 60),
      )
      .filter((word) => word !== "")
      .join("-") || "file"
  );
}
