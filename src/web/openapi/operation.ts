import type { z } from "zod";
import type { AnswerName } from "./answers.ts";

/** One file part of a form. */
interface FilePart {
  readonly name: string;
  readonly isRequired: boolean;
  /** True when the part may come several times. */
  readonly isRepeated?: boolean;
}

/** What one route takes and gives, for the document. */
export interface Operation {
  readonly summary: string;
  readonly query?: z.ZodType;
  /** A JSON body. */
  readonly body?: z.ZodType;
  /** A multipart form: files, and perhaps the JSON text field "request". */
  readonly form?: { readonly files: readonly FilePart[]; readonly request?: z.ZodType };
  /** A body of another kind. */
  readonly binary?: string;
  /** Status of success; 200 when absent. */
  readonly status?: 200 | 201 | 202 | 204;
  /** Named answer, a list of one, or the media types of a file. Absent with 204. */
  readonly gives?: AnswerName | readonly [AnswerName] | { readonly files: readonly string[] };
  /** Statuses of trouble beyond 400. */
  readonly troubles?: readonly number[];
}
