import type { Migration } from "./migration.ts";

/** Step tablets that a studio owns. */
export const tablets: Migration = {
  number: 60,
  name: "tablets",
  script: `
CREATE TABLE tablets (
  id TEXT PRIMARY KEY,
  created_at TEXT NOT NULL,
  updated_at TEXT NOT NULL,
  name TEXT NOT NULL,
  archived INTEGER NOT NULL DEFAULT 0,
  record TEXT NOT NULL
) STRICT;
CREATE INDEX tablets_by_name ON tablets (archived, name COLLATE NOCASE, id);
`,
};
