// Who is asking: somebody at the desk, a device that was let in, or a stranger.
import type { Request } from "express";
import type { Device } from "#shared/schema/devices.ts";
import { isLoopback } from "#src/studio/devices/network-addresses.ts";
import { hostNameOf } from "#src/web/who-may-speak.ts";

export type Speaker =
  { readonly kind: "desk" } | { readonly kind: "device"; readonly device: Device } | { readonly kind: "stranger" };

const speakers = new WeakMap<Request, Speaker>();

export function noteSpeaker(request: Request, speaker: Speaker): void {
  speakers.set(request, speaker);
}

/** Who asks; a stranger where nobody has looked. */
export function speakerOf(request: Request): Speaker {
  return speakers.get(request) ?? { kind: "stranger" };
}

/** The device that asks; undefined for the desk and for strangers. */
export function deviceOf(request: Request): Device | undefined {
  const speaker = speakerOf(request);
  return speaker.kind === "device" ? speaker.device : undefined;
}

/**
 * What a proxy adds to a request that it carries for somebody else.
 * Source: RFC 7239, section 4; RFC 9110, section 7.6.3; the rest common practice, no source
 */
const carriedHeaders =
  /^(via|forwarded|x-forwarded(-.*)?|x-real-ip|x-client-ip|x-cluster-client-ip|true-client-ip|cf-connecting-ip)$/;

/**
 * Whether a request comes from this very machine, by its connection alone. What a header says of an address opens
 * nothing; but a
 * request that a proxy carries is somebody else's, and so is one under a name that was added for the network.
 */
export function isAtDesk(request: Request, allowedHosts: readonly string[]): boolean {
  const { remoteAddress, localAddress } = request.socket;
  if (remoteAddress === undefined) return false;
  if (!isLoopback(remoteAddress) && remoteAddress !== localAddress) return false;
  if (Object.keys(request.headers).some((name) => carriedHeaders.test(name))) return false;
  const asked = hostNameOf(request.headers.host);
  return asked === undefined || !allowedHosts.some((name) => name.toLowerCase() === asked);
}
