import type { ImagingPool } from "#src/imaging/jobs.ts";
import type { Store } from "#src/store/store.ts";

/** What the acts of the studio work with. */
export interface Tools {
  readonly store: Store;
  readonly imaging: ImagingPool;
}
