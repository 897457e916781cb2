// What the API answers, by the name that the OpenAPI document gives it.
import {
  calibratedTabletSchema,
  coatingSchema,
  evennessSchema,
  filmSchema,
  healthSchema,
  importedSchema,
  lampSchema,
  loadedSamplesSchema,
  openApiSchema,
  ownTabletSchema,
  printPageSchema,
  printSchema,
  printerSchema,
  problemSchema,
  restoreAnswerSchema,
  restoredSchema,
  stockSchema,
  supportSchema,
  tabletInLightSchema,
} from "#shared/schema/answers/studio.ts";
import { readingSchema } from "#shared/schema/answers/reading.ts";
import { sunAnchorSchema, sunDaySchema, sunExposureSchema, sunFrameSchema } from "#shared/schema/answers/sun.ts";
import { comparisonSchema, exposureAnswerSchema, testSchema, testSummarySchema } from "#shared/schema/answers/test.ts";
import {
  correctionSchema,
  inkReadingSchema,
  keptCurveSchema,
  madeNegativeSchema,
  madeNegativesSchema,
  measuredFilmSchema,
  negativeProgressSchema,
  photogramPhotoAnswerSchema,
  sheetCheckSchema,
} from "#shared/schema/answers/tone.ts";

import { boxTableSchema } from "#shared/schema/workshop/boxes.ts";
import { clothPlanSchema } from "#shared/schema/workshop/cloth.ts";
import { fadingReadingSchema, fadingSchema } from "#shared/schema/workshop/fading.ts";
import { notedChangeSchema, testCountingSchema } from "#shared/schema/changes.ts";
import { queueEntrySchema } from "#shared/schema/workshop/queue.ts";
import { studioSchema } from "#shared/schema/workshop/studio-name.ts";

export const answerSchemas = {
  Health: healthSchema,
  Problem: problemSchema,
  OpenApi: openApiSchema,
  Lamp: lampSchema,
  Support: supportSchema,
  Coating: coatingSchema,
  Film: filmSchema,
  Stock: stockSchema,
  OwnTablet: ownTabletSchema,
  TabletInLight: tabletInLightSchema,
  CalibratedTablet: calibratedTabletSchema,
  Reading: readingSchema,
  Test: testSchema,
  TestSummary: testSummarySchema,
  Exposure: exposureAnswerSchema,
  Comparison: comparisonSchema,
  Correction: correctionSchema,
  SheetCheck: sheetCheckSchema,
  MeasuredFilm: measuredFilmSchema,
  NegativeProgress: negativeProgressSchema,
  MadeNegative: madeNegativeSchema,
  MadeNegatives: madeNegativesSchema,
  InkReading: inkReadingSchema,
  KeptCurve: keptCurveSchema,
  PhotogramPhoto: photogramPhotoAnswerSchema,
  Printer: printerSchema,
  SunExposure: sunExposureSchema,
  SunAnchor: sunAnchorSchema,
  SunFrame: sunFrameSchema,
  SunDay: sunDaySchema,
  Print: printSchema,
  PrintPage: printPageSchema,
  Evenness: evennessSchema,
  Imported: importedSchema,
  LoadedSamples: loadedSamplesSchema,
  Restored: restoredSchema,
  RestoreAnswer: restoreAnswerSchema,
  Studio: studioSchema,
  StudioChange: notedChangeSchema,
  TestCounting: testCountingSchema,
  QueueEntry: queueEntrySchema,
  BoxTable: boxTableSchema,
  ClothPlan: clothPlanSchema,
  Fading: fadingSchema,
  FadingReading: fadingReadingSchema,
} as const;

export type AnswerName = keyof typeof answerSchemas;
