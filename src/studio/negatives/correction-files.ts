// The tone curve of a test as a file, in every open format.
import { correctionTableHeads, inventedRemark } from "#shared/words/file-words.ts";
import { cgatsText } from "#src/output/cgats.ts";
import { cubeLutText } from "#src/output/cube-lut.ts";
import { csvText } from "#src/output/csv.ts";
import { deviceLinkProfile } from "#src/output/icc-device-link.ts";
import { tablePng } from "#src/output/png.ts";
import type { TestCorrection } from "./correct.ts";

/** Wanted level and level to send, one pair a line. */
export function correctionCsv(levels: readonly number[]): string {
  return csvText(
    ["wanted_level", "level_to_send"],
    levels.map((level, index) => [(index * 255) / (levels.length - 1), level]),
  );
}

/** ICC DeviceLink of the 256 levels. */
export function correctionProfile(
  { calibration, correction }: TestCorrection,
  space: Parameters<typeof deviceLinkProfile>[0]["space"],
): Uint8Array {
  const { testName, lamp, support, coating, film } = calibration;
  const names = [testName, lamp, support, coating, film].filter((part) => part !== "").join(", ");
  const description = `Wedgewright tone correction (${correction.target}): ${names}`;
  return deviceLinkProfile({
    description,
    madeAt: new Date(calibration.madeAt),
    space,
    curve: correction.levels.map((level) => level / 255),
  });
}

/** One-dimensional table in the cube text form; any number of levels. */
export function correctionCube({ correction, calibration }: TestCorrection, levels: readonly number[]): string {
  return cubeLutText({
    title: correctionTableHeads.curve,
    remarks: [
      calibration.testName,
      [calibration.lamp, calibration.support, calibration.coating, calibration.film]
        .filter((part) => part !== "")
        .join("; "),
      correction.target,
      ...(calibration.invented ? [inventedRemark] : []),
    ].filter((remark) => remark !== ""),
    values: levels.map((level) => Math.min(1, Math.max(0, level / 255))),
  });
}

/** 256 x 1 picture of the levels. */
export function correctionPng({ correction }: TestCorrection): Uint8Array {
  return tablePng(correction.levels);
}

/** Two tables: the curve itself, then the tones it was drawn from. */
export function correctionCgats({ correction, calibration }: TestCorrection, levels: readonly number[]): string {
  const header = (descriptor: string): [string, string][] => [
    ["ORIGINATOR", `Wedgewright ${calibration.madeBy}`],
    ["DESCRIPTOR", descriptor],
    ["CREATED", calibration.madeAt],
    [
      "PRINT_CONDITIONS",
      [
        calibration.lamp,
        calibration.support,
        calibration.coating,
        calibration.film,
        calibration.device,
        calibration.exposureSeconds === null ? "" : `${calibration.exposureSeconds} s`,
      ]
        .filter((part) => part !== "")
        .join("; "),
    ],
  ];
  const notes: [string, string][] = [
    ["TEST_ID", calibration.testId],
    ["TEST_NAME", calibration.testName],
    ["TARGET", correction.target],
    ...(calibration.invented ? [["REMARK", inventedRemark] as [string, string]] : []),
  ];
  return cgatsText([
    {
      header: header(correctionTableHeads.curve),
      notes,
      fields: ["SAMPLE_ID", "LEVEL_WANTED", "LEVEL_TO_SEND"],
      ownFields: ["LEVEL_WANTED", "LEVEL_TO_SEND"],
      rows: levels.map((level, index) => [index + 1, (index * 255) / (levels.length - 1), level]),
    },
    {
      header: header(correctionTableHeads.tones),
      notes,
      fields: ["SAMPLE_ID", "LEVEL_SENT", "D_VIS", "LAB_L", "STDEV_D"],
      ownFields: ["LEVEL_SENT", "STDEV_D"],
      rows: correction.tones.map((tone, index) => [index + 1, tone.level, tone.density, tone.lightness, tone.sigma]),
    },
  ]);
}
