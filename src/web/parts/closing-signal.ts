/** Aborts when the asker has gone away, so that no worker reads for nobody. */
export function closingSignal(response: {
  once(event: "close", listener: () => void): unknown;
  writableFinished: boolean;
}): AbortSignal {
  const controller = new AbortController();
  response.once("close", () => {
    if (!response.writableFinished) controller.abort();
  });
  return controller.signal;
}
