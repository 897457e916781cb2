// Heads of folded parts of a form say what is chosen inside; what is changed there is said at once.

/** Words of what is chosen in a part: its ticked kind of tablet, and each list's choice or the name typed in place. */
function chosenIn(part: HTMLElement): string {
  const kinds = [...part.querySelectorAll<HTMLInputElement>('input[name="tabletChoice"]:checked')].map(
    (radio) => radio.closest("label")?.querySelector("span")?.firstChild?.textContent ?? "",
  );
  const materials = [...part.querySelectorAll<HTMLElement>(".material")].map((field) => {
    const typed = field.querySelector<HTMLInputElement>("details input")?.value.trim() ?? "";
    const list = field.querySelector("select");
    return typed === "" && list !== null && list.value !== "" ? (list.selectedOptions[0]?.text ?? "") : typed;
  });
  return [...kinds, ...materials].filter((words) => words !== "").join(", ");
}

/** Keeps the words of each `data-says` head true. */
export function keepFoldsSaying(): void {
  for (const part of document.querySelectorAll<HTMLElement>("details:has(> summary [data-says])")) {
    const words = part.querySelector("[data-says]");
    part.addEventListener("input", () => {
      if (words !== null) words.textContent = chosenIn(part);
    });
  }
}
