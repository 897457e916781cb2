// The sun page's comforts: a town's name fills the fields, the device's place on request, the last place remembered on
// this device.
import { followPlace, inputNamed, offerOwnPlace, putInto, zoneOfDevice } from "./parts/sun-place.ts";

const placeKey = "wedgewright-sun-place";
const placeFields = ["latitude", "longitude", "timeZone", "elevationM", "tiltDegrees", "facingDegrees"] as const;
const names = { latitude: "latitude", longitude: "longitude", timeZone: "timeZone" };

const form = document.querySelector<HTMLFormElement>("[data-sun-form]");
if (form !== null) {
  followPlace(form, names);
  offerOwnPlace(form, names);
  if (inputNamed(form, "latitude")?.value === "" && inputNamed(form, "longitude")?.value === "") {
    putInto(form, "timeZone", zoneOfDevice());
    for (const [name, value] of Object.entries(rememberedPlace())) putInto(form, name, value);
  }
  form.addEventListener("submit", () => {
    try {
      localStorage.setItem(
        placeKey,
        JSON.stringify(Object.fromEntries(placeFields.map((name) => [name, inputNamed(form, name)?.value ?? ""]))),
      );
    } catch {
      // A private window keeps nothing; the address still carries the plan.
    }
  });
}

function rememberedPlace(): Record<string, string> {
  try {
    const kept: unknown = JSON.parse(localStorage.getItem(placeKey) ?? "{}");
    if (typeof kept !== "object" || kept === null) return {};
    return Object.fromEntries(
      Object.entries(kept).filter(
        (entry): entry is [string, string] =>
          placeFields.some((name) => name === entry[0]) && typeof entry[1] === "string" && entry[1] !== "",
      ),
    );
  } catch {
    return {};
  }
}
