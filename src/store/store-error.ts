/** The data folder cannot be used; the message is one plain line for the person who starts the server. */
export class StoreError extends Error {
  override readonly name = "StoreError";
}
