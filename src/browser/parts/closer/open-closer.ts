// The button "Look closer" of a plot. What it opens, with the library that draws it, is fetched at the first press.

let isOpening = false;

export function openCloserLooks(): void {
  document.addEventListener("click", (event) => {
    const button = event.target instanceof Element ? event.target.closest<HTMLElement>("[data-look-closer]") : null;
    const json = button?.closest("figure")?.querySelector("script[type='application/json']")?.textContent;
    if (button && json) void open(button, json);
  });
}

async function open(button: HTMLElement, json: string): Promise<void> {
  if (isOpening) return;
  isOpening = true;
  button.setAttribute("aria-busy", "true");
  try {
    const { lookCloser } = await import("./closer-look.ts");
    lookCloser(button, json);
  } catch {
    const told = button.parentElement?.querySelector("[role='status']");
    if (told) told.textContent = "The closer look could not be fetched. Press again when the server can be reached.";
  } finally {
    button.removeAttribute("aria-busy");
    isOpening = false;
  }
}
