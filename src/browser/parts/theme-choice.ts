// The colour choice of the foot: applied at once, sent in the background.

export function followThemeChoice(): void {
  const form = document.querySelector<HTMLFormElement>("[data-theme-form]");
  const select = form?.querySelector("select");
  if (!form || !select) return;
  form.querySelector("button")?.setAttribute("hidden", "");
  select.addEventListener("change", () => {
    if (select.value === "auto") delete document.documentElement.dataset.theme;
    else document.documentElement.dataset.theme = select.value;
    const body = new URLSearchParams({ theme: select.value, back: "/" });
    void fetch(form.action, { method: "POST", body, redirect: "manual" });
  });
}
