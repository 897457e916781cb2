// How a lamp has done over its hours, from every test made under it.
import { lampSpeeds } from "#shared/exposure/exposure-for-combination.ts";
import { lampAgeing, type LampAgeing, type LampSpeed } from "#shared/lamp/lamp-ageing.ts";
import type { Tools } from "./tools.ts";

export interface LampHistory {
  /** Of the combination that was tested under it at the most different hours. */
  readonly speeds: readonly LampSpeed[];
  readonly ageing: LampAgeing;
}

/** Speeds of a lamp by its hours, judged by the red channel. */
export function lampHistory({ store }: Pick<Tools, "store">, lampId: string): LampHistory {
  const speeds = lampSpeeds(store.tests.listTimed("red"), lampId);
  return { speeds, ageing: lampAgeing(speeds) };
}
