import type { ImagingPool } from "#src/imaging/jobs.ts";
import type { AssessThread } from "./tests/assess-thread.ts";
import type { ModelThread } from "./model-thread.ts";
import type { Store, StoreReader } from "#src/store/store.ts";

/** What the acts of the studio work with. Whoever holds it can look into the store; only an act can change it. */
export interface Tools {
  readonly store: StoreReader;
  readonly imaging: ImagingPool;
  /** Fits the studio's model beside the server's own thread; without it that is done in place. */
  readonly modelThread?: ModelThread;
  /** Fits the curves of tests beside the server's own thread; without it that is done in place. */
  readonly assessThread?: AssessThread;
}

/** The same store for an act that writes; a test of the house sees that nobody outside src/studio asks for it. */
export function forWriting(store: StoreReader): Store {
  // Every reader is a whole store seen through a narrower type: app.ts hands one in, and nothing else makes one.
  return store as Store;
}
