// Drawings that leave their page: a template's SVG with its colours written into it, and the files made of it.
import type { Application, Response } from "express";
import { plainFileName } from "#src/web/file-name.ts";

/** Colours of the six looks on white; those of the light theme in static/styles/tokens.css, with its dashes. */
const looks = [
  ["#14407a", ""],
  ["#8a3b12", "10 5"],
  ["#1d5a3b", "3 4"],
  ["#6b2f7d", "14 4 3 4"],
  ["#7a5a00", "6 3"],
  ["#3a3a3a", "2 2"],
] as const;

const lookStyles = looks
  .map(([colour, dash], index) => {
    const look = `.look-${index + 1}`;
    return (
      `${look}.plot-line .plot-path{fill:none;stroke:${colour};stroke-width:2.5` +
      `${dash === "" ? "" : `;stroke-dasharray:${dash}`}}` +
      `${look}.plot-band .plot-path{fill:${colour};fill-opacity:.18}` +
      `${look} .plot-error,${look} .plot-drop{stroke:${colour};stroke-width:1.5;fill:none}` +
      `${look} .plot-marker{fill:${colour};stroke:${colour}}${look}.plot-marks .plot-marker{fill:#fff;stroke-width:3}`
    );
  })
  .join("");

/** What a drawing that stands alone, on white, is coloured by. */
export const aloneStyle =
  `text{font:15px sans-serif;fill:#16233a}.plot-back{fill:#fff}.plot-grid path{stroke:#ddd4c4;fill:none}${lookStyles}` +
  ".plot-frame,.plot-tick{stroke:#16233a;fill:none}.plot-marker.left-out{fill:#fff}" +
  ".plot-line-across path{stroke:#16233a;stroke-width:1.5;stroke-dasharray:3 4}.plot-drop{stroke-dasharray:4 4}" +
  ".answer-band{fill:#14407a;fill-opacity:.12}.answer-line path{stroke:#16233a;stroke-width:2}" +
  ".answer-line text{font-weight:600;font-size:19px}";

/** The SVG that a template draws. */
export function drawn(app: Application, template: string, view: object): Promise<string> {
  return new Promise((resolve, reject) => {
    app.render(template, view, (error: Error | null, svg?: string) => {
      if (error === null && svg !== undefined) resolve(svg);
      else reject(error ?? new Error("The drawing could not be made."));
    });
  });
}

/** Names the file that an answer is to be kept as. */
export function asFile(response: Response, words: readonly string[], ending: string): Response {
  return response.set("content-disposition", `attachment; filename="${plainFileName(words)}.${ending}"`).type(ending);
}
