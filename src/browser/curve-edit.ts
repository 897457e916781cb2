// While points of a curve are moved, its plots and the print to expect follow.
const form = document.querySelector<HTMLFormElement>("[data-curve-edit]");
const preview = document.querySelector<HTMLElement>("#curve-preview");

/** Rest after the last stroke before the server is asked [ms]. */
const restMs = 250;

if (form !== null && preview !== null) {
  let waiting = 0;
  let asked: AbortController | null = null;
  const show = async (): Promise<void> => {
    asked?.abort();
    asked = new AbortController();
    const entries = [...new FormData(form)].filter((entry): entry is [string, string] => typeof entry[1] === "string");
    try {
      const answer = await fetch(`/curves/new?${new URLSearchParams(entries).toString()}`, { signal: asked.signal });
      const page = new DOMParser().parseFromString(await answer.text(), "text/html");
      const drawn = page.querySelector("#curve-preview");
      // While a number is half typed the old picture stays.
      if (answer.ok && drawn !== null) preview.replaceChildren(...drawn.childNodes);
    } catch {
      // Another stroke came, or the server does not answer: keeping the curve says so.
    }
  };
  form.addEventListener("input", () => {
    clearTimeout(waiting);
    waiting = window.setTimeout(() => void show(), restMs);
  });
}
