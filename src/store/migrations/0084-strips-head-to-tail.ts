import type { Migration } from "./migration.ts";

/** Which test lies head to tail with which, and how steep the coating of their sheet was. */
export const stripsHeadToTail: Migration = {
  number: 84,
  name: "strips-head-to-tail",
  script: `
ALTER TABLE tests ADD COLUMN head_to_tail_test_id TEXT;
ALTER TABLE tests ADD COLUMN coating_slope REAL;
ALTER TABLE tests ADD COLUMN coating_slope_sigma REAL;
CREATE INDEX tests_by_head_to_tail ON tests (head_to_tail_test_id) WHERE head_to_tail_test_id IS NOT NULL;
`,
};
