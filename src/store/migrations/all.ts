// Every migration, in order of its number. A new one is one import and one entry.
import { materialsAndTests } from "./0001-materials-and-tests.ts";
import { whatTestsTellOfTime } from "./0002-what-tests-tell-of-time.ts";
import { sunAnchors } from "./0010-sun-anchors.ts";
import { sunTests } from "./0011-sun-tests.ts";
import { printsAndStocks } from "./0040-prints-and-stocks.ts";
import { whatTestsShare } from "./0050-what-tests-share.ts";
import { changesAndLeftOut } from "./0051-changes-and-left-out.ts";
import { tablets } from "./0060-tablets.ts";
import { evennessMaps } from "./0061-evenness-maps.ts";
import { sunFrames } from "./0070-sun-frames.ts";
import { devices } from "./0071-devices.ts";
import { madeNegatives } from "./0080-made-negatives.ts";
import { queueFadingFacts } from "./0081-queue-fading-facts.ts";
import { stripsHeadToTail } from "./0084-strips-head-to-tail.ts";
import { batchesAndFinish } from "./0090-batches-and-finish.ts";
import { printersAndCurves } from "./0091-printers-and-curves.ts";
import { tabletOfTest } from "./0092-tablet-of-test.ts";
import type { Migration } from "./migration.ts";

export const migrations: readonly Migration[] = [
  materialsAndTests,
  whatTestsTellOfTime,
  sunAnchors,
  sunTests,
  printsAndStocks,
  whatTestsShare,
  changesAndLeftOut,
  tablets,
  evennessMaps,
  sunFrames,
  devices,
  madeNegatives,
  queueFadingFacts,
  stripsHeadToTail,
  batchesAndFinish,
  printersAndCurves,
  tabletOfTest,
];
