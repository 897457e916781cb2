// A window of the negative pixel for pixel, drawn by the server exactly as the file will hold it.

/** Takes over the button that asks for the window, and a tap on the print that moves it. */
export function exactView(form: HTMLFormElement): void {
  const find = <Kind extends HTMLElement>(name: string): Kind => form.querySelector<Kind>(`[${name}]`)!;
  const button = find<HTMLButtonElement>("data-exact");
  const views = find("data-exact-views");
  const trouble = find("data-exact-trouble");
  let at = { x: 0.5, y: 0.5 };
  let stop: AbortController | null = null;

  const show = async (): Promise<void> => {
    stop?.abort();
    const own = new AbortController();
    stop = own;
    button.setAttribute("aria-busy", "true");
    trouble.hidden = true;
    try {
      for (const as of ["positive", "film"] as const) {
        const image = find<HTMLImageElement>(`data-exact-${as}`);
        const address = URL.createObjectURL(await windowAs(form, as, at, own.signal));
        image.onload = () => {
          // One pixel of the file is one of the screen, however finely the screen is divided.
          image.width = image.naturalWidth / window.devicePixelRatio;
          URL.revokeObjectURL(address);
        };
        image.src = address;
      }
      views.hidden = false;
    } catch (error) {
      if (own.signal.aborted) return;
      trouble.textContent = error instanceof Error ? error.message : "The view could not be drawn.";
      trouble.hidden = false;
    } finally {
      if (stop === own) button.removeAttribute("aria-busy");
    }
  };
  button.addEventListener("click", () => void show());
  find<HTMLCanvasElement>("data-print").addEventListener("click", (event) => {
    const box = (event.currentTarget as HTMLCanvasElement).getBoundingClientRect();
    at = { x: (event.clientX - box.left) / box.width, y: (event.clientY - box.top) / box.height };
    if (!views.hidden) void show();
  });
}

async function windowAs(
  form: HTMLFormElement,
  as: string,
  at: { readonly x: number; readonly y: number },
  signal: AbortSignal,
): Promise<Blob> {
  const body = new FormData(form);
  body.set("as", as);
  body.set("atX", String(Math.round(at.x * 1e4) / 1e4));
  body.set("atY", String(Math.round(at.y * 1e4) / 1e4));
  const answer = await fetch("/negatives/window", {
    method: "POST",
    body,
    signal,
    headers: { accept: "application/json" },
  });
  if (!answer.ok) {
    const problem = (await answer.json().catch(() => null)) as { detail?: string } | null;
    throw new Error(problem?.detail ?? "The view could not be drawn.");
  }
  return answer.blob();
}
