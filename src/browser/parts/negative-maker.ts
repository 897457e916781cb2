// Sends the picture, follows the making, and offers the file; can be cancelled at any moment.

/** Time between two questions for the progress [ms]. */
const askEveryMs = 400;

interface Progress {
  readonly id: string;
  readonly state: "working" | "done" | "failed" | "cancelled";
  readonly share: number;
  readonly file: string | null;
  readonly madeId: string | null;
  readonly detail: string | null;
  readonly warnings: readonly { readonly message: string }[];
}

/** Takes over the sending of the negative form. */
export function makeWithProgress(form: HTMLFormElement, request: () => object): void {
  const find = <Kind extends HTMLElement>(name: string): Kind => form.querySelector<Kind>(`[${name}]`)!;
  const box = find("data-progress");
  const bar = box.querySelector("progress")!;
  const words = find("data-progress-words");
  const trouble = find("data-trouble");
  const done = find("data-done");
  const button = find<HTMLButtonElement>("data-make");
  let stop: AbortController | null = null;

  const rest = (): void => {
    stop = null;
    box.hidden = true;
    button.disabled = false;
  };
  const fail = (text: string): void => {
    trouble.textContent = text;
    trouble.hidden = false;
  };
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    event.stopImmediatePropagation();
    const files = [...(form.querySelector<HTMLInputElement>("input[type=file]")?.files ?? [])];
    if (stop !== null || files.length === 0) return;
    const own = new AbortController();
    stop = own;
    trouble.hidden = true;
    done.hidden = true;
    box.hidden = false;
    button.disabled = true;
    bar.removeAttribute("value");
    words.textContent = files.length === 1 ? "Sending the picture …" : "Sending the pictures …";
    make(files, request(), own.signal, (share) => {
      words.textContent = `Making the negative${files.length === 1 ? "" : "s"}, ${Math.round(100 * share)} %`;
      bar.value = share;
    })
      .then((made) => {
        const link = find<HTMLAnchorElement>("data-file");
        link.href = made.file ?? "#";
        if (made.madeId !== null) find<HTMLAnchorElement>("data-made").href = `/negatives/made/${made.madeId}`;
        find("data-warnings").replaceChildren(
          ...made.warnings.map(({ message }) => {
            const item = document.createElement("li");
            item.textContent = message;
            return item;
          }),
        );
        done.hidden = false;
        link.focus();
      })
      .catch((error: unknown) => {
        if (!own.signal.aborted) fail(error instanceof Error ? error.message : "The negative could not be made.");
      })
      .finally(rest);
  });
  find("data-cancel").addEventListener("click", () => stop?.abort());
}

async function make(
  photos: readonly File[],
  request: object,
  signal: AbortSignal,
  onShare: (share: number) => void,
): Promise<Progress> {
  const body = new FormData();
  body.append("request", JSON.stringify(request));
  for (const photo of photos) body.append("photo", photo);
  const unreachable = (): never => {
    throw new Error("The server does not answer. Check that Wedgewright is running, and try again.");
  };
  const path = photos.length === 1 ? "/api/negatives" : "/api/negatives/series";
  const started = await fetch(`${path}?wait=false`, { method: "POST", body, signal }).catch((error: unknown) =>
    signal.aborted ? Promise.reject(error) : unreachable(),
  );
  let progress = (await started.json()) as Progress;
  if (!started.ok) throw new Error(progress.detail ?? "The negative could not be made.");
  const address = `/api/negatives/${progress.id}`;
  while (progress.state === "working") {
    onShare(progress.share);
    await new Promise((resolve) => setTimeout(resolve, askEveryMs));
    if (signal.aborted) {
      await fetch(address, { method: "DELETE" });
      throw new DOMException("Cancelled", "AbortError");
    }
    const answer = await fetch(address).catch(unreachable);
    progress = (await answer.json()) as Progress;
    if (!answer.ok) throw new Error(progress.detail ?? "The negative is not known any more: make it again.");
  }
  if (progress.state !== "done") throw new Error(progress.detail ?? "The negative could not be made.");
  return progress;
}
