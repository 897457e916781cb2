// The sun page's comforts: a city fills the fields, the device's place on request, the last place remembered on this device.
const placeKey = "wedgewright-sun-place";
const placeFields = ["latitude", "longitude", "timeZone", "elevationM", "tiltDegrees", "facingDegrees"] as const;

const form = document.querySelector<HTMLFormElement>("[data-sun-form]");
if (form !== null) arrange(form);

function arrange(form: HTMLFormElement): void {
  const field = (name: string): HTMLInputElement | null => form.querySelector<HTMLInputElement>(`input[name="${name}"]`);
  const put = (name: string, value: string): void => {
    const input = field(name);
    if (input !== null) input.value = value;
  };
  const city = form.querySelector<HTMLSelectElement>("[data-sun-city]");

  city?.addEventListener("change", () => {
    const { latitude, longitude, zone } = city.selectedOptions[0]?.dataset ?? {};
    if (latitude === undefined || longitude === undefined || zone === undefined) return;
    put("latitude", latitude);
    put("longitude", longitude);
    put("timeZone", zone);
  });
  for (const name of ["latitude", "longitude", "timeZone"]) {
    field(name)?.addEventListener("input", () => {
      if (city !== null) city.value = "";
    });
  }

  if (field("latitude")?.value === "" && field("longitude")?.value === "") {
    put("timeZone", new Intl.DateTimeFormat().resolvedOptions().timeZone);
    for (const [name, value] of Object.entries(rememberedPlace())) put(name, value);
  }
  form.addEventListener("submit", () => {
    try {
      localStorage.setItem(placeKey, JSON.stringify(Object.fromEntries(placeFields.map((name) => [name, field(name)?.value ?? ""]))));
    } catch {
      // A private window keeps nothing; the address still carries the plan.
    }
  });

  offerOwnPlace(form, (latitude, longitude) => {
    put("latitude", latitude.toFixed(2));
    put("longitude", longitude.toFixed(2));
    put("timeZone", new Intl.DateTimeFormat().resolvedOptions().timeZone);
    if (city !== null) city.value = "";
  });
}

function rememberedPlace(): Record<string, string> {
  try {
    const kept: unknown = JSON.parse(localStorage.getItem(placeKey) ?? "{}");
    if (typeof kept !== "object" || kept === null) return {};
    return Object.fromEntries(Object.entries(kept).filter((entry): entry is [string, string] => placeFields.some((name) => name === entry[0]) && typeof entry[1] === "string" && entry[1] !== ""));
  } catch {
    return {};
  }
}

/** Shows the button where the browser can tell its place; asks only when it is pressed. */
function offerOwnPlace(form: HTMLFormElement, found: (latitude: number, longitude: number) => void): void {
  const button = form.querySelector<HTMLButtonElement>("[data-sun-here]");
  const trouble = form.querySelector<HTMLElement>("[data-sun-here-error]");
  if (button === null || trouble === null || !("geolocation" in navigator) || !window.isSecureContext) return;
  button.hidden = false;
  button.addEventListener("click", () => {
    trouble.hidden = true;
    button.disabled = true;
    navigator.geolocation.getCurrentPosition(
      ({ coords }) => {
        button.disabled = false;
        found(coords.latitude, coords.longitude);
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
