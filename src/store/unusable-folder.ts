// What the disk or the database refuses, in one plain line.
import { databaseName } from "./database-name.ts";
import { StoreError } from "./store-error.ts";

const notWritable = "it is not writable";
const fileInTheWay = "there is a file of that name where a folder is needed";
const diskFull = "the disk is full";

/** By the code of the system's or the database's error. */
const reasons: ReadonlyMap<string, string> = new Map([
  ["EACCES", notWritable],
  ["EPERM", notWritable],
  ["EROFS", notWritable],
  ["SQLITE_READONLY", notWritable],
  ["SQLITE_CANTOPEN", notWritable],
  ["ENOTDIR", fileInTheWay],
  ["EEXIST", fileInTheWay],
  ["ENOSPC", diskFull],
  ["SQLITE_FULL", diskFull],
  ["SQLITE_NOTADB", `${databaseName} in it is not a database`],
  ["SQLITE_CORRUPT", `${databaseName} in it is damaged: restore a backup`],
  ["EISDIR", `${databaseName} in it is a folder`],
  ["SQLITE_BUSY", "another program holds its database"],
  ["ENOENT", "no folder can be made there"],
]);

/** Errors of the system or the database that have no line above: their code is all that can be said. */
const otherCodes = /^(E[A-Z]+|SQLITE_CANTOPEN\w*|SQLITE_IOERR\w*)$/;

/** @throws StoreError where the folder is at fault; a mistake of ours stays what it is */
export function orUnusable<Result>(dataDir: string, work: () => Result): Result {
  try {
    return work();
  } catch (error) {
    const reason = reasonOf(error);
    if (reason === undefined) throw error;
    throw new StoreError(
      `The data folder ${dataDir} cannot be used (${reason}). Make it writable, or point DATA_DIR to another folder.`,
      { cause: error },
    );
  }
}

function reasonOf(error: unknown): string | undefined {
  if (error instanceof StoreError || !(error instanceof Error) || !("code" in error)) return undefined;
  const code = String(error.code);
  return reasons.get(code) ?? (otherCodes.test(code) ? code : undefined);
}
