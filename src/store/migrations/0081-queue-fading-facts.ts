import type { Migration } from "./migration.ts";

/**
 * Who is next at a box, strips photographed again after washes and light, and what the studio is called. A strip's
 * later readings outlast its test, so that they are there again when that comes back from the bin.
 */
export const queueFadingFacts: Migration = {
  number: 81,
  name: "queue-fading-facts",
  script: `
CREATE TABLE queue (
  id TEXT PRIMARY KEY,
  created_at TEXT NOT NULL,
  updated_at TEXT NOT NULL,
  place INTEGER NOT NULL,
  state TEXT NOT NULL CHECK (state IN ('waiting', 'done')),
  record TEXT NOT NULL
) STRICT;
CREATE INDEX queue_by_place ON queue (state, place, id);

CREATE TABLE fading_readings (
  id TEXT PRIMARY KEY,
  created_at TEXT NOT NULL,
  test_id TEXT NOT NULL,
  picture_id TEXT NOT NULL REFERENCES pictures (id),
  record TEXT NOT NULL
) STRICT;
CREATE INDEX fading_readings_by_test ON fading_readings (test_id, created_at, id);
CREATE INDEX fading_readings_by_picture ON fading_readings (picture_id);

CREATE TABLE studio_facts (
  name TEXT PRIMARY KEY,
  value TEXT NOT NULL
) STRICT;
`,
};
