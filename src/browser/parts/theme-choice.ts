// The colour choice of the foot: applied at once, sent in the background.

/** Name of the event sent on `document` when the colours change; charts draw themselves anew. */
export const themeChanged = "theme-changed";

export function followThemeChoice(): void {
  const form = document.querySelector<HTMLFormElement>("[data-theme-form]");
  const select = form?.querySelector("select");
  if (!form || !select) return;
  form.querySelector("button")?.setAttribute("hidden", "");
  select.addEventListener("change", () => {
    if (select.value === "auto") delete document.documentElement.dataset.theme;
    else document.documentElement.dataset.theme = select.value;
    document.dispatchEvent(new CustomEvent(themeChanged));
    const body = new URLSearchParams({ theme: select.value, back: "/" });
    void fetch(form.action, { method: "POST", body, redirect: "manual" });
  });
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () =>
    document.dispatchEvent(new CustomEvent(themeChanged)),
  );
}
