// Parts that many answers share. Answers are described as they are sent: nothing here has a default.
import { z } from "zod";

/** A fact worth knowing, by a stable code; further members carry its numbers. */
export const warningSchema = z.looseObject({ code: z.string(), message: z.string() });

/** What the store gives every record. */
export const storedShape = {
  id: z.string(),
  createdAt: z.iso.datetime({ offset: true }),
};

/** The same, of a record that can be changed: when that was last is its version. */
export const versionedShape = { ...storedShape, updatedAt: z.iso.datetime({ offset: true }) };

export const numberOrNull = z.number().nullable();
export const textOrNull = z.string().nullable();
export const channelSchema = z.enum(["red", "visual"]);
export const verdictSchema = z.enum(["ok", "test-too-short", "test-too-long", "reversal", "unreliable"]);
export const tabletKindSchema = z.enum(["transmission", "timed", "levels", "sheet"]);
/** A place in shares of a width and a height. */
export const shareXySchema = z.object({ x: z.number(), y: z.number() });
