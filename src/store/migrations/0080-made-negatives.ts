import type { Migration } from "./migration.ts";

/** Negatives that were made, each with the curve that it went through. */
export const madeNegatives: Migration = {
  number: 80,
  name: "made-negatives",
  script: `
CREATE TABLE made_negatives (
  id TEXT PRIMARY KEY,
  created_at TEXT NOT NULL,
  test_id TEXT NOT NULL,
  settings_name TEXT NOT NULL,
  record TEXT NOT NULL
) STRICT;
CREATE INDEX made_negatives_by_time ON made_negatives (created_at);
CREATE INDEX made_negatives_by_test ON made_negatives (test_id);
`,
};
