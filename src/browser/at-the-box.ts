// Keeps the screen on while the time is read at arm's length with wet hands.
import { keepScreenOn } from "./parts/attention.ts";

const words = document.querySelector<HTMLElement>("[data-awake-words]");
void keepScreenOn(
  () => true,
  (state) => {
    if (words !== null) words.hidden = state !== "kept-on";
  },
)();
