// What changed in the studio from one day on.
import { z } from "zod";

export const studioChangeSchema = z.object({
  /**
   * "tubes": new tubes or diodes; "glass": glass or reflector cleaned or changed; "lot": new paper lot, bottle or
   * batch; "other".
   */
  kind: z.enum(["tubes", "glass", "lot", "other"], "say what changed"),
  scope: z.enum(["lamp", "support", "coating"], "say what it concerns"),
  scopeId: z.string().min(1, "say what it concerns").max(64),
  /** First day of the new. */
  at: z.iso.date("give the first day of the new, such as 2026-05-01"),
});
export type StudioChangeInput = z.infer<typeof studioChangeSchema>;
export interface StudioChange extends StudioChangeInput {
  readonly id: string;
}
