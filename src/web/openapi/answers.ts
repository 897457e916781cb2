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
  measuredFilmSchema,
  negativeProgressSchema,
  sheetCheckSchema,
} from "#shared/schema/answers/tone.ts";

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
} as const;

export type AnswerName = keyof typeof answerSchemas;
