// The negative page's form as a request: used by the server for plain forms and by the page's script.
import { luminanceWeights } from "#shared/limits.ts";
import type { GreyWeights } from "#shared/schema/negative.ts";
import { inkFromText } from "#shared/tablet/film-inks.ts";
import { filmSizes } from "./film-sizes.ts";

const [redWeight, greenWeight, blueWeight] = luminanceWeights;

/** Grey mixtures to choose from. */
export const greyMixes: Readonly<Record<string, { readonly label: string; readonly weights: GreyWeights }>> = {
  luminance: {
    label: "As bright as the eye sees it",
    weights: { red: redWeight, green: greenWeight, blue: blueWeight },
  },
  even: { label: "Red, green and blue alike", weights: { red: 1, green: 1, blue: 1 } },
  red: { label: "Red light: skin bright, sky dark", weights: { red: 1, green: 0, blue: 0 } },
  green: { label: "Green light: leaves bright", weights: { red: 0, green: 1, blue: 0 } },
  blue: { label: "Blue light: sky bright, skin dark", weights: { red: 0, green: 0, blue: 1 } },
};

/** Which side of the print the number names. */
export const printSides: Readonly<Record<string, string>> = {
  widthMm: "wide",
  heightMm: "high",
  longSideMm: "along its longer side",
};

/** Kinds of numbers in the file. */
export const fileDepths: Readonly<Record<string, { readonly label: string; readonly form: object }>> = {
  "grey-8": { label: "Grey, 8 bit (usual)", form: { channels: "grey", bits: 8 } },
  "grey-16": { label: "Grey, 16 bit", form: { channels: "grey", bits: 16 } },
  "rgb-8": { label: "RGB, 8 bit, for drivers that take no grey", form: { channels: "rgb", bits: 8 } },
  "rgb-16": { label: "RGB, 16 bit", form: { channels: "rgb", bits: 16 } },
};

/** Film sizes to choose from: none, each by name, and one's own. */
export const filmChoices: readonly { readonly value: string; readonly label: string }[] = [
  { value: "", label: "As large as the negative" },
  ...filmSizes.map(({ key, label }) => ({ value: key, label })),
  { value: "own", label: "Another size, below" },
];

/** Names of the form's number fields that go into the request as they are. */
const numberFields = [
  "dpi",
  "contrast",
  "sharpening",
  "marginMm",
  "filmWidthMm",
  "filmHeightMm",
  "overlapMm",
  "tile",
  "gapMm",
] as const;
const tickFields = ["mirror", "invert", "registrationMarks", "marginStrip", "caption"] as const;
const textFields = ["testId", "target", "curveId", "format", "marginTone", "arrangement"] as const;

/**
 * What a negative's request schema takes, from text fields. Empty fields are left out, so that defaults fill them.
 * @param values field name to text; an absent tick box is false
 */
export function negativeRequestFromForm(values: Readonly<Record<string, string>>): Record<string, unknown> {
  const text = (name: string) => (values[name] ?? "").trim();
  const number = (name: string) => Number(text(name).replace(",", "."));
  const request: Record<string, unknown> = {};
  for (const name of textFields) if (text(name) !== "") request[name] = text(name);
  for (const name of numberFields) if (text(name) !== "") request[name] = number(name);
  for (const name of tickFields) request[name] = text(name) !== "";
  const side = text("side") in printSides ? text("side") : "widthMm";
  if (text("widthMm") !== "") request[side] = number("widthMm");
  Object.assign(request, fileDepths[text("depth")]?.form, inkFields(text("ink")));
  const film = filmSizes.find(({ key }) => key === text("filmSize"));
  if (film !== undefined) {
    request["filmWidthMm"] = film.widthMm;
    request["filmHeightMm"] = film.heightMm;
    request["filmMayTurn"] = true;
  }
  const mix = greyMixes[text("greyMix")];
  if (mix !== undefined) request.greyWeights = mix.weights;
  const share = (name: string, whole: number) => (text(name) === "" ? whole : number(name)) / 100;
  const crop = {
    x: share("cropLeft", 0),
    y: share("cropTop", 0),
    width: share("cropWidth", 100),
    height: share("cropHeight", 100),
  };
  // Someone who moves the left edge and forgets the width means "the rest".
  request.crop = { ...crop, width: Math.min(crop.width, 1 - crop.x), height: Math.min(crop.height, 1 - crop.y) };
  return request;
}

/** The ink, and a file in RGB where it is coloured; text that is no ink goes on as it is, to be refused by its name. */
function inkFields(text: string): Record<string, unknown> {
  if (text === "") return {};
  if (!/^#?[0-9a-f]{6}$/i.test(text)) return { ink: text };
  const ink = inkFromText(text);
  return ink.red === ink.green && ink.green === ink.blue ? { ink } : { ink, channels: "rgb" };
}
