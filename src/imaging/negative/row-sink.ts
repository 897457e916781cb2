// Where the finished rows of a negative go.
import type { NegativeRequest } from "#shared/schema/negative.ts";

export interface RowSink<Made> {
  /** Takes the next row's bytes; wait for it when it gives a promise. */
  row(bytes: Uint8Array): Promise<void> | undefined;
  end(): Promise<Made>;
}

/** What a row of a negative is made of. */
export interface RowForm {
  readonly width: number;
  readonly height: number;
  readonly bits: 8 | 16;
  readonly channels: 1 | 3;
}

/** Form of a page as a request asks for it. */
export function rowForm(
  { widthPx, heightPx }: { readonly widthPx: number; readonly heightPx: number },
  { bits, channels }: Pick<NegativeRequest, "bits" | "channels">,
): RowForm {
  return { width: widthPx, height: heightPx, bits, channels: channels === "rgb" ? 3 : 1 };
}

/** Bytes of one row. */
export function rowBytes({ width, bits, channels }: RowForm): number {
  return (width * channels * bits) / 8;
}
