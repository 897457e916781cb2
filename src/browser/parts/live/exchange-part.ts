// Puts a part of the page in the place of the older one that is shown: what somebody folded open stays open.

/** What a folded part is known by: the record that it stands in, and its head. */
function nameOf(fold: HTMLDetailsElement): string {
  return `${fold.closest("[id]")?.id ?? ""} ${fold.querySelector("summary")?.textContent ?? ""}`;
}

/** Exchanges what `here` holds for what `next` holds. */
export function exchangePart(here: HTMLElement, next: HTMLElement): void {
  const open = new Set([...here.querySelectorAll<HTMLDetailsElement>("details[open]")].map(nameOf));
  for (const fold of next.querySelectorAll("details")) if (open.has(nameOf(fold))) fold.open = true;
  here.replaceChildren(...next.childNodes);
}
