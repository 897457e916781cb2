// Phones in the studio: what an act refuses, and why an address stays shut.
import { InputError, type InputErrorCode } from "#shared/errors.ts";
import { sentenceOf, type Sentences } from "./sentences.ts";

type DeviceRefusal =
  | { readonly code: "code-not-good" }
  | { readonly code: "codes-held-up"; readonly minutes: number }
  | { readonly code: "device-without-name" }
  | { readonly code: "too-many-devices"; readonly most: number };

const refusals: Sentences<DeviceRefusal> = {
  "code-not-good":
    "This code lets nobody in: it is mistyped, was used already, or is too old. Ask at the desk for a new one.",
  "codes-held-up": ({ minutes }) => `Too many wrong codes: wait ${minutes} minutes, or ask at the desk.`,
  "device-without-name": "Give this device a name of at most 60 letters.",
  "too-many-devices": ({ most }) => `${most} devices are known: shut some out at the desk first.`,
};

/** A refusal as an error that can be shown. */
export function deviceRefusal(code: InputErrorCode, fact: DeviceRefusal, options: { field?: string } = {}): InputError {
  return new InputError(code, sentenceOf(refusals, fact), options);
}

/** Why the server does not answer at one of this machine's addresses. */
export type DoorTrouble =
  | { readonly code: "address-taken"; readonly address: string; readonly reason: string }
  | { readonly code: "address-of-internet"; readonly address: string };

const doorSentences: Sentences<DoorTrouble> = {
  "address-taken": ({ address, reason }) => `${address} could not be opened (${reason}).`,
  "address-of-internet": ({ address }) => `${address} is an address of the internet, so it stays shut.`,
};

export const doorTroubleWords = (trouble: DoorTrouble): string => sentenceOf(doorSentences, trouble);

/** For the log: looking goes on, though the disk takes nothing. */
export const seenNotKeptWords = (reason: string): string => `When a device was last seen could not be kept: ${reason}`;
