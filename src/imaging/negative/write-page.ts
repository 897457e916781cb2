// One sheet of film, row by row: resized, sharpened, corrected, framed and mirrored.
import type { NegativeLayout, NegativePage } from "#shared/correction/layout/negative-layout.ts";
import type { RectanglePx } from "#shared/correction/rectangle-px.ts";
import type { NegativeRequest } from "#shared/schema/negative.ts";
import { codeOf, ditherNoise, noiseOffset, rowEncoder, toFilm16, toFilm8 } from "./film-rows.ts";
import type { GreySource } from "./grey-source.ts";
import { pageOverlay, type StripValues } from "./page-overlay.ts";
import { resamplingTaps, RowResampler } from "./resample.ts";
import { rowForm, type RowSink } from "./row-sink.ts";
import { sharpeningReachPx, sharpenedRows } from "./sharpen-rows.ts";

const opaqueLevel = 255;

export interface PageJob {
  readonly request: NegativeRequest;
  /** Film value for each 16-bit grey of the positive, in 1/256 of a film level. */
  readonly tone: Uint16Array;
  readonly caption: string;
  /** Film values of the small strip's patches, in 1/256 of a film level; empty without one. */
  readonly strip: StripValues;
  readonly layout: Pick<NegativeLayout, "widthPx" | "heightPx">;
  readonly page: NegativePage;
  readonly source: GreySource;
  /** Whether numbers of 16 bits have their high byte first. */
  readonly highFirst: boolean;
}

/** Draws one sheet into a sink and gives what the sink makes of it. */
export async function writePage<Made>(job: PageJob, sink: RowSink<Made>, onRow: (row: number) => void): Promise<Made> {
  const { request, page, tone, highFirst } = job;
  const { bits, ink } = request;
  const { width, height } = page.part;
  const rowAt = pictureRows(job);
  const marginLevel = request.marginTone === "opaque" ? opaqueLevel : 0;
  const noise = ditherNoise();
  const drawn = { caption: job.caption, strip: job.strip, noise: bits === 8 ? noise : null };
  const overlay = await pageOverlay(page, drawn, {
    margin: plainCode(marginLevel, request),
    drawn: plainCode(opaqueLevel - marginLevel, request),
    bare: codeOf(opaqueLevel, bits),
  });
  const values = new Float32Array(width);
  const row = bits === 8 ? new Uint8Array(page.widthPx) : new Uint16Array(page.widthPx);
  const encoded = rowEncoder(rowForm(page, request), { ink, highFirst });
  for (let y = 0; y < page.heightPx; y++) {
    overlay.under(y, row);
    const inside = y - page.top;
    if (inside >= 0 && inside < height) {
      rowAt(inside, values);
      const offset = noiseOffset(page.part.x, inside + page.part.y);
      if (bits === 8) toFilm8(values, { tone, noise, offset }, row, page.left);
      else toFilm16(values, tone, row, page.left);
    }
    overlay.over(y, row);
    if (request.mirror) row.reverse();
    const full = sink.row(encoded(row));
    if (full !== undefined) {
      onRow(y);
      await full;
    }
  }
  return sink.end();
}

/** Code of a grey level of the positive without correction: what lies outside the picture. */
function plainCode(level: number, { invert, bits }: Pick<NegativeRequest, "invert" | "bits">): number {
  return codeOf(invert ? 255 - level : level, bits);
}

/** Sharpened rows of a sheet's part; what lies beside it in the whole picture counts, so that sheets join unseen. */
function pictureRows({ request, layout, page, source }: PageJob): (y: number, out: Float32Array) => void {
  const { part } = page;
  const amount = request.sharpening / 100;
  const reach = amount > 0 ? sharpeningReachPx(request.dpi) : 0;
  const x = Math.max(0, part.x - reach);
  const y = Math.max(0, part.y - reach);
  const wide: RectanglePx = {
    x,
    y,
    width: Math.min(layout.widthPx, part.x + part.width + reach) - x,
    height: Math.min(layout.heightPx, part.y + part.height + reach) - y,
  };
  const rows = sharpenedRows({
    width: wide.width,
    height: wide.height,
    dpi: request.dpi,
    amount,
    readRow: partRows(source, request, layout, wide),
  });
  if (wide.width === part.width) return (index, out) => rows(index + part.y - y, out);
  const row = new Float32Array(wide.width);
  return (index, out) => {
    rows(index + part.y - y, row);
    out.set(row.subarray(part.x - x, part.x - x + part.width));
  };
}

/** Rows of one part of the resized picture, 16-bit greys. */
function partRows(
  source: GreySource,
  request: NegativeRequest,
  layout: Pick<NegativeLayout, "widthPx" | "heightPx">,
  part: RectanglePx,
): (y: number, out: Float32Array) => void {
  const { crop } = request;
  // The part of the source that the crop names; whole pixels where they are meant.
  const from = (start: number, length: number, size: number) => ({
    start: wholeWhereMeant(start * size),
    length: wholeWhereMeant(length * size),
  });
  const resampler = new RowResampler({
    across: resamplingTaps({
      size: source.width,
      from: from(crop.x, crop.width, source.width),
      to: layout.widthPx,
      part: { start: part.x, length: part.width },
    }),
    down: resamplingTaps({
      size: source.height,
      from: from(crop.y, crop.height, source.height),
      to: layout.heightPx,
      part: { start: part.y, length: part.height },
    }),
    rowAt: (y) => source.grey.subarray(y * source.width, (y + 1) * source.width),
  });
  return (y, out) => resampler.row(y, out);
}

function wholeWhereMeant(value: number): number {
  const whole = Math.round(value);
  return Math.abs(value - whole) < 1e-3 ? whole : value;
}
