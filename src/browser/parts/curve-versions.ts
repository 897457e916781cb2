// The list of a curve's versions, which goes with the test that is chosen.

/** A version of a test's curve: its present one, or one that was kept. */
export interface Version {
  readonly value: string;
  readonly label: string;
}

/** Puts the versions of a test's curve into their list, which hides when there is but one. */
export function offerVersions(list: HTMLSelectElement, versions: readonly Version[] = []): void {
  const chosen = list.value;
  list.replaceChildren(...versions.map(({ value, label }) => new Option(label, value, false, value === chosen)));
  const room = list.closest<HTMLElement>("[data-versions]");
  if (room !== null) room.hidden = versions.length < 2;
}
