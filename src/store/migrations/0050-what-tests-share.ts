import type { Migration } from "./migration.ts";

/** What all tests of one tablet err by alike; empty for tests whose fit did not tell it apart. */
export const whatTestsShare: Migration = {
  number: 50,
  name: "what-tests-share",
  script: `
ALTER TABLE tests ADD COLUMN tablet_sigma_log_h REAL;
`,
};
