// While a town's name is being typed, the places that it may mean stand below, to be pressed.

/** Time without a key before the list is asked for [ms]. */
const askAfterMs = 200;
/** Letters from which on a name is looked up. */
const leastLetters = 2;

export interface OfferedPlace {
  readonly label: string;
  /** North and east positive [°]. */
  readonly latitude: number;
  readonly longitude: number;
  /** Empty where nobody knows. */
  readonly timeZone: string;
}

interface Answer {
  readonly places: readonly OfferedPlace[];
  /** Whether the first one is meant without a doubt. */
  readonly isSure: boolean;
}

interface PlaceParts {
  readonly name: HTMLInputElement;
  readonly choices: HTMLElement;
  /** Tells those who cannot see the list how many places are in it. */
  readonly status: HTMLElement;
}

/** @param take called with the place that was pressed, or that the field means when it is left */
export function offerPlaces({ name, choices, status }: PlaceParts, take: (place: OfferedPlace) => void): void {
  let waiting: ReturnType<typeof setTimeout> | undefined;
  let asked: AbortController | null = null;

  const shut = (): void => {
    choices.replaceChildren();
    choices.hidden = true;
    status.textContent = "";
  };
  const choose = (place: OfferedPlace): void => {
    name.value = place.label;
    take(place);
    shut();
  };
  const show = ({ places }: Answer): void => {
    choices.replaceChildren(
      ...places.map((place) => {
        const button = document.createElement("button");
        button.type = "button";
        button.className = "button quiet";
        button.textContent = place.label;
        button.addEventListener("click", () => {
          choose(place);
          name.focus();
        });
        const item = document.createElement("li");
        item.append(button);
        return item;
      }),
    );
    choices.hidden = places.length === 0;
    status.textContent = places.length === 0 ? "No such place on the list" : `${places.length} places below`;
  };
  const ask = async (): Promise<Answer | null> => {
    asked?.abort();
    asked = new AbortController();
    try {
      const answer = await fetch(`/sun/places?name=${encodeURIComponent(name.value)}`, {
        signal: asked.signal,
        headers: { accept: "application/json" },
      });
      return answer.ok ? ((await answer.json()) as Answer) : null;
    } catch {
      // Overtaken by the next letter, or the server is away: the form still goes as it is typed.
      return null;
    }
  };
  name.addEventListener("input", () => {
    clearTimeout(waiting);
    if (name.value.trim().length < leastLetters) {
      shut();
      return;
    }
    waiting = setTimeout(() => void ask().then((answer) => answer !== null && show(answer)), askAfterMs);
  });
  name.addEventListener("change", () => {
    clearTimeout(waiting);
    if (name.value.trim() === "") return;
    void ask().then((answer) => {
      const [first] = answer?.places ?? [];
      if (answer?.isSure && first !== undefined) {
        take(first);
        // Further towns of the name stay to be chosen.
        if (answer.places.length === 1) shut();
        else show(answer);
      }
    });
  });
}
