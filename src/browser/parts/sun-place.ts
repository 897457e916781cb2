// Fields of a place under the sun: a town's name or copied coordinates fill them, the device's place on request.
import { writtenFixed } from "#shared/format/number.ts";
import { offerPlaces, type OfferedPlace } from "./place-choices.ts";

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

/** The field of a place's name. */
function placeName(within: ParentNode): HTMLInputElement | null {
  return within.querySelector<HTMLInputElement>("[data-place-name]");
}

/** Lets a named place fill coordinates and zone, and typed coordinates forget the name. */
export function followPlace(within: ParentNode, names: PlaceFields): void {
  const name = placeName(within);
  const choices = within.querySelector<HTMLElement>("[data-place-choices]");
  const status = within.querySelector<HTMLElement>("[data-place-status]");
  if (name === null || choices === null || status === null) return;
  offerPlaces({ name, choices, status }, ({ latitude, longitude, timeZone }: OfferedPlace) => {
    putInto(within, names.latitude, String(latitude));
    putInto(within, names.longitude, String(longitude));
    if (timeZone !== "") putInto(within, names.timeZone, timeZone);
  });
  for (const field of [names.latitude, names.longitude, names.timeZone]) {
    inputNamed(within, field)?.addEventListener("input", () => {
      name.value = "";
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
        const name = placeName(within);
        if (name !== null) name.value = "";
      },
      () => {
        button.disabled = false;
        trouble.textContent = "The browser did not tell the place. Type a town near you, or the coordinates.";
        trouble.hidden = false;
      },
      { timeout: 20_000, maximumAge: 3_600_000 },
    );
  });
}
