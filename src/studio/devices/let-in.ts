// Lets a device in for a code, knows it again by its secret, and shuts it out.
import { createHash, randomBytes } from "node:crypto";
import { deviceChangeSchema, deviceNameSchema, type Device } from "#shared/schema/devices.ts";
import { deviceRefusal, seenNotKeptWords } from "#shared/words/device-words.ts";
import { forWriting, type Tools } from "#src/studio/tools.ts";
import type { EntryCodes } from "./entry-codes.ts";

/** A device that stayed away for so long is forgotten. */
export const forgottenAfterDays = 180;
const dayMs = 24 * 3_600_000;
/** "Last seen" is good to this. */
const seenEveryMs = 60_000;
const mostDevices = 200;
/** 256 random bits, as they stand in the cookie. */
const secretPattern = /^[\w-]{43}$/;

function hashOf(secret: string): string {
  return createHash("sha256").update(secret).digest("hex");
}

/**
 * Lets a device in. Its secret is always a new one of our own making; what it had before is good no longer.
 * @throws InputError "wrong-code", "too-many-tries" or "bad-request"; nothing has changed then
 */
export function letDeviceIn(
  { store }: Pick<Tools, "store">,
  codes: EntryCodes,
  { code, name, address, before }: { code: string; name: string; address: string; before: Device | undefined },
): { device: Device; secret: string } {
  const named = deviceNameSchema.safeParse(name);
  if (!named.success) throw deviceRefusal("bad-request", { code: "device-without-name" }, { field: "name" });
  const devices = forWriting(store).devices;
  devices.removeUnseenSince(new Date(Date.now() - forgottenAfterDays * dayMs).toISOString());
  if (devices.list().length >= mostDevices)
    throw deviceRefusal("bad-request", { code: "too-many-devices", most: mostDevices });
  const role = codes.redeem(code, address);
  const secret = randomBytes(32).toString("base64url");
  return forWriting(store).transaction(() => {
    if (before !== undefined) devices.remove(before.id);
    return { device: devices.create({ name: named.data, role, secretHash: hashOf(secret) }), secret };
  });
}

/** The device that holds a secret; undefined for a wrong one, and for one that was away too long. */
export function deviceWithSecret({ store }: Pick<Tools, "store">, secret: string, now: Date): Device | undefined {
  // Found by the hash of 256 random bits: how long the search takes tells nothing about them.
  const device = secretPattern.test(secret) ? store.devices.findBySecret(hashOf(secret)) : undefined;
  if (device === undefined) return undefined;
  const awayMs = now.getTime() - Date.parse(device.lastSeenAt);
  if (awayMs > forgottenAfterDays * dayMs) return undefined;
  if (awayMs > seenEveryMs) noteSeen(store, device.id);
  return device;
}

/** A full disk must not keep anyone from looking. */
function noteSeen(store: Tools["store"], id: string): void {
  try {
    forWriting(store).devices.noteSeen(id);
  } catch (error) {
    console.error(seenNotKeptWords(error instanceof Error ? error.message : String(error)));
  }
}

/** Renames a device or gives it another role. @throws InputError "not-found" or a ZodError */
export function changeDevice({ store }: Pick<Tools, "store">, id: string, change: unknown): Device {
  return forWriting(store).devices.replace(id, deviceChangeSchema.parse(change));
}

/** What it holds is good no longer, from its very next request. */
export function shutOutDevice({ store }: Pick<Tools, "store">, id: string): void {
  forWriting(store).devices.remove(id);
}
