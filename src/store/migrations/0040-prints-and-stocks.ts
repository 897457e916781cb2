import type { Migration } from "./migration.ts";

/** The print log, and the bottles on the shelf. */
export const printsAndStocks: Migration = {
  number: 40,
  name: "prints-and-stocks",
  script: `
CREATE TABLE prints (
  id TEXT PRIMARY KEY,
  created_at TEXT NOT NULL,
  updated_at TEXT NOT NULL,
  state TEXT NOT NULL CHECK (state IN ('planned', 'in-work', 'finished')),
  outcome TEXT CHECK (outcome IN ('too-light', 'right', 'too-dark')),
  lamp_id TEXT NOT NULL REFERENCES lamps (id),
  support_id TEXT NOT NULL REFERENCES supports (id),
  coating_id TEXT NOT NULL REFERENCES coatings (id),
  film_id TEXT REFERENCES films (id),
  picture_id TEXT REFERENCES pictures (id),
  record TEXT NOT NULL
) STRICT;
CREATE INDEX prints_by_time ON prints (created_at, id);
CREATE INDEX prints_by_state ON prints (state, created_at, id);
CREATE INDEX prints_by_combination ON prints (lamp_id, support_id, coating_id);
CREATE INDEX prints_by_support ON prints (support_id);
CREATE INDEX prints_by_coating ON prints (coating_id);
CREATE INDEX prints_by_film ON prints (film_id);
CREATE INDEX prints_by_picture ON prints (picture_id);

CREATE TABLE stocks (
  id TEXT PRIMARY KEY,
  created_at TEXT NOT NULL,
  updated_at TEXT NOT NULL,
  name TEXT NOT NULL,
  archived INTEGER NOT NULL DEFAULT 0,
  record TEXT NOT NULL
) STRICT;
CREATE INDEX stocks_by_name ON stocks (archived, name COLLATE NOCASE, id);
`,
};
