import type { Migration } from "./migration.ts";

/** Which batch a test was coated with, how damp it was and how the print was finished; empty where nobody said. */
export const batchesAndFinish: Migration = {
  number: 90,
  name: "batches-and-finish",
  script: `
ALTER TABLE tests ADD COLUMN batch_id TEXT;
ALTER TABLE tests ADD COLUMN humidity_percent REAL;
ALTER TABLE tests ADD COLUMN acid_wash INTEGER;
ALTER TABLE tests ADD COLUMN peroxide INTEGER;
ALTER TABLE tests ADD COLUMN oxidised INTEGER;
UPDATE tests SET
  humidity_percent = (SELECT json_extract(request, '$.humidityPercent') FROM test_records WHERE test_id = tests.id),
  oxidised = (SELECT json_extract(request, '$.oxidised') FROM test_records WHERE test_id = tests.id);
`,
};
