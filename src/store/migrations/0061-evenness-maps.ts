import type { Migration } from "./migration.ts";

/** Maps of the light over a bed. */
export const evennessMaps: Migration = {
  number: 61,
  name: "evenness-maps",
  script: `
CREATE TABLE evenness_maps (
  id TEXT PRIMARY KEY,
  created_at TEXT NOT NULL,
  record TEXT NOT NULL
) STRICT;
CREATE INDEX evenness_maps_by_time ON evenness_maps (created_at);
`,
};
