// Fields of a place under the sun: a city fills them, the device's place on request.
import { writtenFixed } from "#shared/format/number.ts";

/** Names of the fields; the sun page and the form of a test call them differently. */
export interface PlaceFields {
  readonly latitude: string;
  readonly longitude: string;
  readonly timeZone: string;
}

/** The zone of this device's clock. */
export function zoneOfDevice(): string {
  return new Intl.DateTimeFormat().resolvedOptions().timeZone;
}

/** A form's input by name. */
export function inputNamed(within: ParentNode, name: string): HTMLInputElement | null {
  return within.querySelector<HTMLInputElement>(`input[name="${name}"]`);
}

/** Writes into an input where there is one. */
export function putInto(within: ParentNode, name: string, value: string): void {
  const input = inputNamed(within, name);
  if (input !== null) input.value = value;
}

/** Lets a chosen city fill coordinates and zone, and typed coordinates forget the city. */
export function followCity(within: ParentNode, names: PlaceFields): void {
  const city = within.querySelector<HTMLSelectElement>("[data-sun-city]");
  city?.addEventListener("change", () => {
    const { latitude, longitude, zone } = city.selectedOptions[0]?.dataset ?? {};
    if (latitude === undefined || longitude === undefined || zone === undefined) return;
    putInto(within, names.latitude, latitude);
    putInto(within, names.longitude, longitude);
    putInto(within, names.timeZone, zone);
  });
  for (const name of [names.latitude, names.longitude, names.timeZone]) {
    inputNamed(within, name)?.addEventListener("input", () => {
      if (city !== null) city.value = "";
    });
  }
}

/** Shows the button where the browser can tell its place; asks only when it is pressed. */
export function offerOwnPlace(within: ParentNode, names: PlaceFields): void {
  const button = within.querySelector<HTMLButtonElement>("[data-sun-here]");
  const trouble = within.querySelector<HTMLElement>("[data-sun-here-error]");
  if (button === null || trouble === null || !("geolocation" in navigator) || !window.isSecureContext) return;
  button.hidden = false;
  button.addEventListener("click", () => {
    trouble.hidden = true;
    button.disabled = true;
    navigator.geolocation.getCurrentPosition(
      ({ coords }) => {
        button.disabled = false;
        putInto(within, names.latitude, writtenFixed(coords.latitude, 2));
        putInto(within, names.longitude, writtenFixed(coords.longitude, 2));
        putInto(within, names.timeZone, zoneOfDevice());
        const city = within.querySelector<HTMLSelectElement>("[data-sun-city]");
        if (city !== null) city.value = "";
      },
      () => {
        button.disabled = false;
        trouble.textContent = "The browser did not tell the place. Type the coordinates, or choose a city near you.";
        trouble.hidden = false;
      },
      { timeout: 20_000, maximumAge: 3_600_000 },
    );
  });
}
