// What was noted of a test, as terms and values.
import { formatLength } from "#shared/format/length.ts";
import { senderWords } from "#shared/words/teaching/sender-words.ts";
import { formatDuration } from "#shared/format/duration.ts";
import { formatDayAndTime } from "#shared/format/instant.ts";
import { formatShare } from "#shared/format/number.ts";
import type { SavedTest } from "#shared/schema/test.ts";

export function conditionsOf(test: SavedTest): { term: string; value: string }[] {
  const { request, reading } = test;
  const rows: [string, string | null][] = [
    ["Made", request.madeAt === undefined ? null : formatDayAndTime(request.madeAt)],
    ["Exposed for", request.exposureSeconds === undefined ? null : formatDuration(request.exposureSeconds)],
    ["Distance from the light", request.lampDistanceMm == null ? null : formatLength(request.lampDistanceMm)],
    ["Lamp hours", request.lampHours == null ? null : `${request.lampHours} h`],
    ["Humidity", request.humidityPercent == null ? null : `${request.humidityPercent} %`],
    ["Temperature", request.temperatureC == null ? null : `${request.temperatureC} °C`],
    ["First wash", request.wash == null ? null : { plain: "plain water", acid: "with acid" }[request.wash]],
    ["Peroxide bath", said(request.peroxide, "yes", "none") || null],
    [
      "Print",
      [said(request.dry, "dry", "not dry"), said(request.oxidised, "fully oxidised", "not yet oxidised")]
        .filter((text) => text !== "")
        .join(", ") || null,
    ],
    ["Film over the tablet", request.filmInTest ? "yes" : "no"],
    [
      "Sun",
      request.sun == null
        ? null
        : `${request.sun.latitude}°, ${request.sun.longitude}°, from ${formatDayAndTime(request.sun.startedAt)}`,
    ],
    [
      "Picture",
      `${reading.image.width} × ${reading.image.height} pixels, ${reading.image.bitsPerChannel} bit, ` +
        reading.image.profile,
    ],
    [
      "Tablet",
      reading.location.method === "given"
        ? "by corners that were given"
        : `found by itself, confidence ${confidenceWords(reading.location.confidence)}`,
    ],
    ["Densities by", instrumentWords(reading.instrument)],
    ["Read by", `Wedgewright ${test.madeBy}`],
    ["From", request.from == null ? null : senderWords(request.from)],
    ["Notes", request.notes === "" ? null : request.notes],
  ];
  return rows.flatMap(([term, value]) => (value === null ? [] : [{ term, value }]));
}

/** By what the steps were measured, where it was no camera. */
function instrumentWords(instrument: SavedTest["reading"]["instrument"]): string | null {
  if (instrument === undefined) return null;
  return `an instrument${instrument.scaleName === null ? "" : `, ${instrument.scaleName}`}`;
}

/** Words for yes and no; nothing where it was not said. */
function said(isSo: boolean | null | undefined, yes: string, no: string): string {
  if (isSo == null) return "";
  return isSo ? yes : no;
}

/** Never rounded up to certainty. */
const confidenceWords = (confidence: number): string =>
  confidence >= 0.99 ? "over 99 %" : formatShare(Math.floor(confidence * 100) / 100);
