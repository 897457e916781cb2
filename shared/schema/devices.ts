// Phones and other machines that were let in from the desk.
import { z } from "zod";
import { lineSchema } from "./plain-text.ts";

/**
 * A reader looks, follows run sheets and runs timers; a keeper does everything but letting devices in and restoring.
 */
export const deviceRoleSchema = z.enum(["reader", "keeper"]);
export type DeviceRole = z.infer<typeof deviceRoleSchema>;

export const deviceNameSchema = lineSchema().min(1).max(60);

export const deviceChangeSchema = z.object({ name: deviceNameSchema.optional(), role: deviceRoleSchema.optional() });
export type DeviceChange = z.infer<typeof deviceChangeSchema>;

/** A device that was let in. What proves it, a secret in its cookie, is kept nowhere but there. */
export interface Device {
  readonly id: string;
  readonly name: string;
  readonly role: DeviceRole;
  readonly createdAt: string;
  readonly lastSeenAt: string;
}
