// The pages' accent in the blues of a print: a style sheet that says the house's tokens anew, each as light as before.
import { inTheHueOf, type OwnBlues } from "#shared/prints/own-blues.ts";
import type { TestSummary } from "#shared/schema/test.ts";

/** The house's accent in the light and in the dark, as static/styles/tokens.css has it. */
export const houseAccents = {
  "--blue": ["#14407a", "#93bdf0"],
  "--blue-deep": ["#0c2a52", "#c2dbf7"],
  "--blue-pale": ["#dfe8f1", "#1f3350"],
  "--answer-back": ["#0c2a52", "#1d3f6e"],
  "--top-back": ["#0c2a52", "#0a1120"],
  "--series-1": ["#14407a", "#93bdf0"],
} as const satisfies Readonly<Record<string, readonly [string, string]>>;

/** What bare paper is on the pages: `--print-0`. */
export const housePaper = "#fbf8f1";

/** The style sheet of a print; it names the version of the test, so that what a browser kept stays right. */
export function bluesHref({ id, updatedAt }: Pick<TestSummary, "id" | "updatedAt">): string {
  return `/tests/${encodeURIComponent(id)}/blues.css?at=${encodeURIComponent(updatedAt)}`;
}

/**
 * On screens alone, and weaker than a chosen darkroom red: there the house's own colours stay.
 * @param blues null for a print that tells none: the house's colours stay
 */
export function bluesSheet(blues: OwnBlues | null): string {
  if (blues === null) return "/* This print tells no blues of its own. */\n";
  const tones = blues.tones.map((tone, index) => `--print-${index}: ${tone};`);
  const accents = Object.entries(houseAccents).map(
    ([token, [light, dark]]) => `${token}: light-dark(${inTheHueOf(blues, light)}, ${inTheHueOf(blues, dark)});`,
  );
  return `@layer tokens { @media screen { :root {\n  ${[...tones, ...accents].join("\n  ")}\n} } }\n`;
}
