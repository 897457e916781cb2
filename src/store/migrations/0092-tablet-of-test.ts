import type { Migration } from "./migration.ts";

/** Which tablet a test was made with, by its densities: two tablets of one kind do not err alike. */
export const tabletOfTest: Migration = {
  number: 92,
  name: "tablet-of-test",
  script: `
ALTER TABLE tests ADD COLUMN tablet TEXT;
UPDATE tests SET tablet = (SELECT json_extract(request, '$.tablet') FROM test_records WHERE test_id = tests.id);
`,
};
