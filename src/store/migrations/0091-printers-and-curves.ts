import type { Migration } from "./migration.ts";

/** Printers of film, and tone curves that are kept as they were. */
export const printersAndCurves: Migration = {
  number: 91,
  name: "printers-and-curves",
  script: `
CREATE TABLE printers (
  id TEXT PRIMARY KEY,
  created_at TEXT NOT NULL,
  updated_at TEXT NOT NULL,
  name TEXT NOT NULL,
  archived INTEGER NOT NULL DEFAULT 0,
  record TEXT NOT NULL
) STRICT;
CREATE INDEX printers_by_name ON printers (archived, name COLLATE NOCASE, id);
CREATE TABLE kept_curves (
  id TEXT PRIMARY KEY,
  created_at TEXT NOT NULL,
  updated_at TEXT NOT NULL,
  name TEXT NOT NULL,
  archived INTEGER NOT NULL DEFAULT 0,
  record TEXT NOT NULL
) STRICT;
CREATE INDEX kept_curves_by_name ON kept_curves (archived, name COLLATE NOCASE, id);
`,
};
