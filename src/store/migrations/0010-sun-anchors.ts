import type { Migration } from "./migration.ts";

/** Anchors kept from the dose clock. */
export const sunAnchors: Migration = {
  number: 10,
  name: "sun-anchors",
  script: `
CREATE TABLE sun_anchors (
  id TEXT PRIMARY KEY,
  created_at TEXT NOT NULL,
  name TEXT NOT NULL,
  support_id TEXT REFERENCES supports (id),
  coating_id TEXT REFERENCES coatings (id),
  film_id TEXT REFERENCES films (id),
  record TEXT NOT NULL
) STRICT;
CREATE INDEX sun_anchors_by_time ON sun_anchors (created_at, id);
CREATE INDEX sun_anchors_by_support ON sun_anchors (support_id);
CREATE INDEX sun_anchors_by_coating ON sun_anchors (coating_id);
CREATE INDEX sun_anchors_by_film ON sun_anchors (film_id);
`,
};
