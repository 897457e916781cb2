// What a device may do. Whatever is not named here, a reader may look at and a keeper may do.
import type { DeviceRole } from "#shared/schema/devices.ts";

const lookingMethods = new Set(["GET", "HEAD", "OPTIONS"]);

/** For the desk alone: letting devices in, and putting something else in the place of everything. */
const deskOnly: readonly RegExp[] = [/^\/studio\/devices(\/|$)/];
const deskOnlyChanges: readonly RegExp[] = [/^\/api\/restore(\/|$)/, /^\/studio\/safe\/(look|restore|states)(\/|$)/];

/** What gives away everything at once, or what was thrown away. */
const notForReaders: readonly RegExp[] = [/^\/api\/(backup|calibrations)$/, /^\/studio\/(safe|bin|sharing)(\/|$)/];

/**
 * Presses of a reader: steps of a run sheet and its timers, running frames, joining and leaving the queue, colours of
 * the page, and questions that change nothing.
 */
const readersMayPress: readonly RegExp[] = [
  /^\/prints\/[\w-]+\/steps\/\d+\/(start|end|pause|resume|minute|reset)$/,
  /^\/sun\/frames\/[\w-]+\/press$/,
  /^\/preferences$/,
  /^\/queue$/,
  /^\/queue\/[\w-]+\/(done|leave)$/,
  /^\/(enter|leave)$/,
  /^\/api\/sun\/exposures$/,
  /^\/api\/comparisons$/,
];

/** A path as the routes understand it: small letters, no encoded letters, no slash at its end. */
function plainPath(path: string): string {
  let decoded = path;
  try {
    decoded = decodeURIComponent(path);
  } catch {
    // A broken % sign: no route takes it either.
  }
  return decoded
    .toLowerCase()
    .replace(/\/{2,}/g, "/")
    .replace(/(.)\/+$/, "$1");
}

export function mayDo(role: DeviceRole, method: string, path: string): boolean {
  const asked = plainPath(path);
  const isIn = (paths: readonly RegExp[]): boolean => paths.some((each) => each.test(asked));
  const isLooking = lookingMethods.has(method);
  if (isIn(deskOnly) || (!isLooking && isIn(deskOnlyChanges))) return false;
  if (role === "keeper") return true;
  return isLooking ? !isIn(notForReaders) : isIn(readersMayPress);
}
