// The sun's part of the test form: opens itself when the chosen light is the sun.
import { followPlace, inputNamed, putInto, zoneOfDevice } from "./sun-place.ts";

export function arrangeSunConditions(): void {
  const part = document.querySelector<HTMLDetailsElement>("[data-sun-conditions]");
  if (part === null) return;
  followPlace(part, { latitude: "sunLatitude", longitude: "sunLongitude", timeZone: "sunTimeZone" });
  if (inputNamed(part, "sunTimeZone")?.value === "") putInto(part, "sunTimeZone", zoneOfDevice());
  const lamp = document.querySelector<HTMLSelectElement>('select[name="lampId"]');
  const further = part.querySelector<HTMLDetailsElement>("[data-sun-further]");
  const openForSun = (): void => {
    const kind = lamp?.selectedOptions[0]?.dataset.kind ?? "";
    if (kind === "sun" || kind === "shade") part.open = true;
    // Shade is another sky than the one that is taken where nothing is said.
    if (kind === "shade" && further !== null) further.open = true;
  };
  lamp?.addEventListener("change", openForSun);
  openForSun();
  const typed = document.querySelector<HTMLInputElement>('input[name="newLampName"]');
  typed?.addEventListener("change", () => {
    if (/\b(sun|shade)\b/i.test(typed.value)) part.open = true;
  });
}
