// Saves tests until it is killed, and says on standard output which ones were acknowledged.
import { writeSync } from "node:fs";
import { openStore } from "#src/store/store.ts";
import { recordTest } from "#src/studio/tests/record-test.ts";
import { fakeImaging } from "../support/fake-imaging.ts";
import { sampleRequest, saveSampleMaterials } from "../support/studios/sample-records.ts";

const store = openStore(process.argv[2] ?? "");
const materials = saveSampleMaterials(store);
const imaging = fakeImaging();
for (let n = 0; ; n += 1) {
  const photo = new TextEncoder().encode(`picture ${process.pid} ${n} `.repeat(2000));
  const test = await recordTest(
    { store, imaging },
    { request: sampleRequest(materials), pictures: { photos: [photo] } },
  );
  writeSync(1, `${test.id} ${test.pictureId}\n`);
}
