// Notices of the device itself, where the browser allows them: on this machine, or over https. They come while the page
// is open.
// Source: WHATWG Notifications API.

const part = (name: string): HTMLElement | null => document.querySelector<HTMLElement>(`[data-call-${name}]`);

/** Shows what this browser allows, and asks when the button is pressed. */
export function offerNotices(): void {
  const canNotice = "Notification" in window && window.isSecureContext;
  part("notify")?.toggleAttribute("hidden", !canNotice);
  part("none")?.toggleAttribute("hidden", canNotice);
  if (!canNotice) return;
  const button = part("allow");
  const say = (): void => {
    const words = part("notify-words");
    const told = { granted: "Allowed.", denied: "This browser was told not to show them.", default: "" };
    if (words !== null) words.textContent = told[Notification.permission];
    button?.toggleAttribute("hidden", Notification.permission !== "default");
  };
  button?.addEventListener("click", () => void Notification.requestPermission().then(say));
  say();
}

/** @param tag a later notice of the same tag replaces the one before */
export function showNotice(words: string, tag: string): void {
  if (!("Notification" in window) || Notification.permission !== "granted") return;
  try {
    new Notification(words, { tag });
  } catch {
    // Some phones show notices only for installed pages; the chime and the calendar file remain.
  }
}
