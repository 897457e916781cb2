// Inputs that stop the work. They know no HTTP: src/web/problem.ts gives every code its status.

/** Every way in which an input can stop the work; src/web/problem.ts has one status for each. */
export type InputErrorCode =
  | "bad-request"
  | "not-found"
  | "in-use"
  | "not-a-picture"
  | "picture-too-large"
  | "no-tablet-found"
  | "corners-impossible"
  | "evenness-unknown"
  | "too-few-steps"
  | "no-correction"
  | "busy"
  | "method-not-allowed"
  | "request-too-large"
  | "not-accepted"
  | "disk-full"
  | "other-site"
  | "unknown-host"
  | "device-unknown"
  | "not-this-role"
  | "wrong-code"
  | "too-many-tries"
  | "upload-stalled"
  | "changed-meanwhile"
  | "data-folder-gone"
  | "picture-missing"
  | "backup-unreadable";

/** What both kinds of error may carry besides. */
interface ErrorParts {
  /** Dotted path of the field at fault, as the sender named it. */
  readonly field?: string | undefined;
  readonly cause?: unknown;
  /** Further plain members of the problem answer, such as a best guess of the corners. */
  readonly extra?: Readonly<Record<string, unknown>> | undefined;
}

/** An input that stops the work: what is wrong and what to do, in plain words. */
export class InputError extends Error {
  override readonly name = "InputError";
  readonly code: InputErrorCode;
  /** Plain words: what is wrong, then what to do. */
  readonly detail: string;
  readonly field: string | undefined;
  readonly extra: Readonly<Record<string, unknown>> | undefined;

  constructor(code: InputErrorCode, detail: string, options: ErrorParts = {}) {
    super(detail, options.cause === undefined ? undefined : { cause: options.cause });
    this.code = code;
    this.detail = detail;
    this.field = options.field;
    this.extra = options.extra;
  }
}

/**
 * What stops the work as the core and imaging find it: a code with its numbers, before `shared/words/trouble-words.ts`
 * makes an `InputError` of it. The subject's union says which troubles there are: `new TroubleError<ClockTrouble>(…)`.
 */
export class TroubleError<Trouble extends { readonly code: string } = { readonly code: string }> extends Error {
  override readonly name = "TroubleError";
  readonly code: InputErrorCode;
  readonly trouble: Trouble;
  readonly field: string | undefined;
  readonly extra: Readonly<Record<string, unknown>> | undefined;

  constructor(code: InputErrorCode, trouble: Trouble, options: ErrorParts = {}) {
    super(`${code}: ${trouble.code}`, options.cause === undefined ? undefined : { cause: options.cause });
    this.code = code;
    this.trouble = trouble;
    this.field = options.field;
    this.extra = options.extra;
  }
}
