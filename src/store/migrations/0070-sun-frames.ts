import type { Migration } from "./migration.ts";

/** Frames outside in the sun. */
export const sunFrames: Migration = {
  number: 70,
  name: "sun-frames",
  script: `
CREATE TABLE sun_frames (
  id TEXT PRIMARY KEY,
  created_at TEXT NOT NULL,
  updated_at TEXT NOT NULL,
  record TEXT NOT NULL
) STRICT;
CREATE INDEX sun_frames_by_time ON sun_frames (created_at, id);
`,
};
