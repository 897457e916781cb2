import type { Migration } from "./migration.ts";

/** Finds the tests printed in the sun without reading every record. */
export const sunTests: Migration = {
  number: 11,
  name: "sun-tests",
  script:
    "CREATE INDEX test_records_in_sun ON test_records (test_id) WHERE json_extract(request, '$.sun') IS NOT NULL;",
};
