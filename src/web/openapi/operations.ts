// Every route of the API for the document, room by room.
import type { Operation } from "./operation.ts";
import { studioOperations } from "./rooms/studio.ts";
import { materialOperations } from "./rooms/materials.ts";
import { testOperations } from "./rooms/tests.ts";
import { negativeOperations } from "./rooms/negatives.ts";
import { inkAndCurveOperations } from "./rooms/inks-and-curves.ts";
import { printOperations } from "./rooms/prints.ts";
import { sunOperations } from "./rooms/sun.ts";
import { workshopOperations } from "./rooms/workshop.ts";

/** Every route of the API. */
export const operations: Readonly<Record<string, Operation>> = {
  ...studioOperations,
  ...materialOperations,
  ...testOperations,
  ...negativeOperations,
  ...inkAndCurveOperations,
  ...printOperations,
  ...sunOperations,
  ...workshopOperations,
};
