import type { Migration } from "./migration.ts";

const materialTables = ["lamps", "supports", "coatings", "films"]
  .map(
    (table) => `
CREATE TABLE ${table} (
  id TEXT PRIMARY KEY,
  created_at TEXT NOT NULL,
  updated_at TEXT NOT NULL,
  name TEXT NOT NULL,
  archived INTEGER NOT NULL DEFAULT 0,
  record TEXT NOT NULL
) STRICT;
CREATE INDEX ${table}_by_name ON ${table} (archived, name COLLATE NOCASE, id);`,
  )
  .join("\n");

/**
 * Materials keep their record as JSON; tests keep what lists show in columns, and the long parts as JSON in a table of
 * their own.
 */
export const materialsAndTests: Migration = {
  number: 1,
  name: "materials-and-tests",
  script: `
${materialTables}

CREATE TABLE pictures (
  id TEXT PRIMARY KEY,
  media_type TEXT NOT NULL,
  bytes INTEGER NOT NULL,
  created_at TEXT NOT NULL
) STRICT;

CREATE TABLE tests (
  id TEXT PRIMARY KEY,
  created_at TEXT NOT NULL,
  updated_at TEXT NOT NULL,
  made_at TEXT NOT NULL,
  made_ms INTEGER NOT NULL,
  name TEXT NOT NULL,
  invented INTEGER NOT NULL DEFAULT 0,
  lamp_id TEXT NOT NULL REFERENCES lamps (id),
  support_id TEXT NOT NULL REFERENCES supports (id),
  coating_id TEXT NOT NULL REFERENCES coatings (id),
  film_id TEXT REFERENCES films (id),
  picture_id TEXT NOT NULL REFERENCES pictures (id),
  tablet_kind TEXT NOT NULL,
  channel TEXT NOT NULL,
  exposure_seconds REAL,
  verdict TEXT NOT NULL,
  seconds REAL,
  lower_seconds REAL,
  upper_seconds REAL,
  target_share REAL NOT NULL,
  film_density REAL NOT NULL,
  d_max REAL,
  log_exposure_range REAL,
  made_by TEXT NOT NULL
) STRICT;
CREATE INDEX tests_by_time ON tests (made_ms, id);
CREATE INDEX tests_by_lamp ON tests (lamp_id, made_ms, id);
CREATE INDEX tests_by_support ON tests (support_id, made_ms, id);
CREATE INDEX tests_by_coating ON tests (coating_id, made_ms, id);
CREATE INDEX tests_by_film ON tests (film_id, made_ms, id);
CREATE INDEX tests_by_picture ON tests (picture_id);

CREATE TABLE test_records (
  test_id TEXT PRIMARY KEY REFERENCES tests (id) ON DELETE CASCADE,
  request TEXT NOT NULL,
  reading TEXT NOT NULL,
  curve TEXT,
  exposure TEXT NOT NULL,
  warnings TEXT NOT NULL
) STRICT;

CREATE TABLE test_pictures (
  test_id TEXT NOT NULL REFERENCES tests (id) ON DELETE CASCADE,
  role TEXT NOT NULL CHECK (role IN ('photo', 'even-light')),
  position INTEGER NOT NULL,
  picture_id TEXT NOT NULL REFERENCES pictures (id),
  PRIMARY KEY (test_id, role, position)
) STRICT;
CREATE INDEX test_pictures_by_picture ON test_pictures (picture_id);
`,
};
