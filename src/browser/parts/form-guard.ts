// A form goes out once: its buttons rest while the answer is on its way, and wake when the page is shown again.

export function guardForms(): void {
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (
      !(form instanceof HTMLFormElement) ||
      event.defaultPrevented ||
      form.method === "get" ||
      form.method === "dialog"
    )
      return;
    const question = form.dataset.confirm;
    if (question !== undefined && !confirm(question)) {
      event.preventDefault();
      return;
    }
    if (form.dataset.sent === "yes") {
      event.preventDefault();
      return;
    }
    form.dataset.sent = "yes";
    for (const button of buttonsOf(form)) button.setAttribute("aria-disabled", "true");
  });
  window.addEventListener("pageshow", () => {
    for (const form of document.querySelectorAll<HTMLFormElement>("form[data-sent]")) releaseForm(form);
  });
}

/** Lets a form be sent again, after an answer that leaves the page in place. */
export function releaseForm(form: HTMLFormElement): void {
  delete form.dataset.sent;
  for (const button of buttonsOf(form)) button.removeAttribute("aria-disabled");
}

function buttonsOf(form: HTMLFormElement): HTMLButtonElement[] {
  return [...form.querySelectorAll<HTMLButtonElement>("button:not([type=button])")];
}
