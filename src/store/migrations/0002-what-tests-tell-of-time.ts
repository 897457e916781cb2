import type { Migration } from "./migration.ts";

/**
 * Columns from which times of other combinations are drawn without reading every curve; filled for tests that are
 * there.
 */
export const whatTestsTellOfTime: Migration = {
  number: 2,
  name: "what-tests-tell-of-time",
  script: `
ALTER TABLE tests ADD COLUMN shoulder_log_h REAL;
ALTER TABLE tests ADD COLUMN shoulder_sigma_log_h REAL;
ALTER TABLE tests ADD COLUMN degrees_of_freedom REAL;
ALTER TABLE tests ADD COLUMN film_in_test INTEGER NOT NULL DEFAULT 0;
ALTER TABLE tests ADD COLUMN lamp_distance_mm REAL;
ALTER TABLE tests ADD COLUMN lamp_hours REAL;
ALTER TABLE tests ADD COLUMN under_sun INTEGER NOT NULL DEFAULT 0;

UPDATE tests SET
  shoulder_log_h = CASE WHEN seconds IS NULL THEN NULL ELSE json_extract(r.curve, '$.points.shoulder.logH') END,
  shoulder_sigma_log_h = CASE WHEN seconds IS NULL THEN NULL ELSE json_extract(r.curve, '$.sigmaLogH.shoulder') END,
  degrees_of_freedom = json_extract(r.curve, '$.degreesOfFreedom'),
  film_in_test =
    CASE WHEN json_extract(r.request, '$.filmInTest') OR tablet_kind IN ('levels', 'sheet') THEN 1 ELSE 0 END,
  lamp_distance_mm = json_extract(r.request, '$.lampDistanceMm'),
  lamp_hours = json_extract(r.request, '$.lampHours'),
  under_sun = json_extract(r.request, '$.sun') IS NOT NULL
FROM test_records AS r WHERE r.test_id = tests.id;

CREATE INDEX tests_by_shoulder ON tests (channel, made_ms, id) WHERE shoulder_log_h IS NOT NULL;
`,
};
