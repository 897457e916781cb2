// Keeps the screen on while the time is read at arm's length with wet hands.
const words = document.querySelector<HTMLElement>("[data-awake-words]");

async function keepAwake(): Promise<void> {
  if (!("wakeLock" in navigator) || document.visibilityState !== "visible") return;
  try {
    await navigator.wakeLock.request("screen");
    if (words !== null) words.hidden = false;
  } catch {
    // A low battery or a plain-http page refuses; the time is on the screen all the same.
  }
}

document.addEventListener("visibilitychange", () => void keepAwake());
void keepAwake();
