// What a calendar file says of a frame. The phone shows it locked, so the title alone must do.

/** @param at times of day */
export function bringInWords(
  name: string,
  at: { readonly earliest: string; readonly latest: string; readonly now: string },
): { readonly title: string; readonly text: string } {
  return {
    title: `Bring in: ${name}`,
    text: `Between ${at.earliest} and ${at.latest}, as reckoned at ${at.now}. Hidden sun after that makes it later.`,
  };
}
