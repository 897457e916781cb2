/** One step of the database's history. Its number never changes once released. */
export interface Migration {
  readonly number: number;
  readonly name: string;
  /** SQL that carries the schema, and the rows in it, one step on. */
  readonly script: string;
}
