// Reads a saved test anew with the number of steps that its picture looks like.
import type { SavedTest } from "#shared/schema/test.ts";
import { tabletOfOtherCount } from "#shared/tablet/usual-tablet.ts";
import type { Tools } from "#src/studio/tools.ts";
import { rereadTest } from "./reread-test.ts";

/**
 * The test with the usual tablet of the other count; as it is where its picture looks like no other.
 * @throws InputError "not-found", or whatever stops the reading
 */
export async function readAsOtherCount(tools: Tools, id: string): Promise<SavedTest> {
  const test = tools.store.tests.get(id);
  const steps = test.reading.location.looksLikeSteps;
  const tablet = steps === undefined ? null : tabletOfOtherCount(test.request.tablet, steps);
  return tablet === null ? test : rereadTest(tools, id, { tablet });
}
