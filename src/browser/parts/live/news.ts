/** What the server tells of a change; its kinds stand in src/store/news.ts. */
export interface News {
  /** "everything": any record may have changed. */
  readonly kind: string;
  readonly id: string | null;
  readonly what: "saved" | "removed";
}
