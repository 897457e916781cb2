import type { Migration } from "./migration.ts";

/** What changed in the studio and when, and tests that somebody left out of the times. */
export const changesAndLeftOut: Migration = {
  number: 51,
  name: "changes-and-left-out",
  script: `
CREATE TABLE changes (
  id TEXT PRIMARY KEY,
  created_at TEXT NOT NULL,
  kind TEXT NOT NULL,
  scope TEXT NOT NULL CHECK (scope IN ('lamp', 'support', 'coating')),
  scope_id TEXT NOT NULL,
  at TEXT NOT NULL
) STRICT;
CREATE INDEX changes_by_scope ON changes (scope, scope_id, at);

CREATE TABLE left_out_tests (
  test_id TEXT PRIMARY KEY REFERENCES tests (id) ON DELETE CASCADE,
  reason TEXT NOT NULL,
  decided_at TEXT NOT NULL
) STRICT;
`,
};
