// The code that lets one device in: made at the desk, good once and for some minutes, kept in memory alone.
import { createHash, randomInt, timingSafeEqual } from "node:crypto";
import type { DeviceRole } from "#shared/schema/devices.ts";
import { deviceRefusal } from "#shared/words/device-words.ts";

/** Letters and digits that nobody takes for another; 32 of them, so that eight are 40 bits. */
const alphabet = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ";
const codeLength = 8;
export const codeMinutes = 10;

/**
 * Wrong codes from one address in a stretch of time, and from all addresses for one code; then that code is withdrawn.
 */
const mostTriesOfOne = 8;
const mostTriesOfAll = 40;
const tryMinutes = 10;
/** Addresses whose tries are remembered. */
const mostAddresses = 1000;

interface EntryCode {
  /** As shown: two groups of four. */
  readonly code: string;
  readonly role: DeviceRole;
  readonly expiresAt: Date;
}

interface WrongTries {
  readonly count: number;
  /** The last address that they came from; null without any. */
  readonly from: string | null;
}

export interface EntryCodes {
  /** Makes a code; the one before is good no longer. */
  make(role: DeviceRole): EntryCode;
  /** The code that is good now. */
  current(): EntryCode | null;
  /** Withdraws it. */
  withdraw(): void;
  /**
   * Uses a code up.
   * @throws InputError "too-many-tries", or "wrong-code" whatever is wrong with it
   */
  redeem(typed: string, address: string): DeviceRole;
  /** Wrong codes since the last one was made. */
  wrongTries(): WrongTries;
}

/** A code as typed: small letters, blanks and dashes do not matter. */
function plainCode(typed: string): string {
  return typed
    .slice(0, 40)
    .toUpperCase()
    .replaceAll(/[^0-9A-Z]/g, "");
}

/** Equal lengths, so that comparing takes the same time whatever was typed. */
function fingerprint(text: string): Buffer {
  return createHash("sha256").update(text).digest();
}

export function entryCodes({ now = () => new Date() }: { readonly now?: () => Date } = {}): EntryCodes {
  let held: EntryCode | null = null;
  let wrong: WrongTries = { count: 0, from: null };
  const triesByAddress = new Map<string, { count: number; untilMs: number }>();

  function current(): EntryCode | null {
    if (held !== null && held.expiresAt <= now()) held = null;
    return held;
  }

  function forgetOldTries(): void {
    const nowMs = now().getTime();
    for (const [address, { untilMs }] of triesByAddress) if (untilMs <= nowMs) triesByAddress.delete(address);
  }

  function refuseTooMany(address: string): void {
    forgetOldTries();
    const tries = triesByAddress.get(address)?.count ?? 0;
    if (tries < mostTriesOfOne && (triesByAddress.has(address) || triesByAddress.size < mostAddresses)) return;
    throw deviceRefusal("too-many-tries", { code: "codes-held-up", minutes: tryMinutes });
  }

  function noteWrong(address: string): void {
    const tries = triesByAddress.get(address) ?? { count: 0, untilMs: now().getTime() + tryMinutes * 60_000 };
    triesByAddress.set(address, { ...tries, count: tries.count + 1 });
    wrong = { count: wrong.count + 1, from: address };
    if (wrong.count >= mostTriesOfAll) held = null;
  }

  return {
    current,
    make(role) {
      const letters = Array.from({ length: codeLength }, () => alphabet.charAt(randomInt(alphabet.length))).join("");
      held = {
        code: `${letters.slice(0, 4)}-${letters.slice(4)}`,
        role,
        expiresAt: new Date(now().getTime() + codeMinutes * 60_000),
      };
      wrong = { count: 0, from: null };
      return held;
    },
    withdraw() {
      held = null;
    },
    redeem(typed, address) {
      refuseTooMany(address);
      const good = current();
      // Without a code that is good, the same work is done against one that nobody can type.
      const isRight = timingSafeEqual(
        fingerprint(plainCode(typed)),
        fingerprint(plainCode(good?.code ?? "") || "none"),
      );
      if (!isRight || good === null) {
        noteWrong(address);
        throw deviceRefusal("wrong-code", { code: "code-not-good" }, { field: "code" });
      }
      held = null;
      return good.role;
    },
    wrongTries: () => wrong,
  };
}
