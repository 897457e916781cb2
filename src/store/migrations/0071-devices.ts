import type { Migration } from "./migration.ts";

/** Devices that were let in, by the hash of their secret, and whether any are let in at all. */
export const devices: Migration = {
  number: 71,
  name: "devices",
  script: `
CREATE TABLE devices (
  id TEXT PRIMARY KEY,
  created_at TEXT NOT NULL,
  last_seen_at TEXT NOT NULL,
  name TEXT NOT NULL,
  role TEXT NOT NULL CHECK (role IN ('reader', 'keeper')),
  secret_hash TEXT NOT NULL UNIQUE
) STRICT;
CREATE TABLE device_switch (
  id INTEGER PRIMARY KEY CHECK (id = 1),
  is_on INTEGER NOT NULL CHECK (is_on IN (0, 1))
) STRICT;
`,
};
