// Every page goes out through here: one frame (title, place in the navigation, script) and one typed view object.
import type { Response } from "express";
import { formatLength, formatSize, lengthField, lengthUnit } from "#shared/format/length.ts";
import { readablePlot } from "#shared/format/plot-reading.ts";
import { plotTable } from "#shared/format/plot-table.ts";
import type { PlotSpec } from "#shared/format/plot.ts";
import { writingNow, writingText } from "#shared/format/writing.ts";
import { cautionWords, deferringWords } from "#shared/words/caution-words.ts";
import { termNamed } from "#shared/words/terms.ts";
import { navigation, partOfRoom, type NavigationPart } from "#src/web/navigation.ts";
import { pageForReader } from "#src/web/devices/reader-page.ts";
import { deviceOf } from "#src/web/devices/speaker.ts";
import { version } from "#src/version.ts";
import { themeLabels, themeOf, themes } from "./theme.ts";
import { plotLinks, plotsIn, plotWanted, sendPlot } from "./plot-files.ts";
import { svgPlots } from "./svg-plot.ts";

export interface PageFrame {
  /** Shown in the tab and as the page's first heading. */
  readonly title: string;
  /** Key of the navigation entry that this page belongs to. */
  readonly here?: string;
  /** Names of bundled scripts in static/scripts/, without ending: `src/browser/<name>.ts`. */
  readonly scripts?: readonly string[];
  /** Data for the page's script; read there with `pageData()`. */
  readonly data?: unknown;
  /** The record that the page shows, such as `tests/<id>`: a change of it on another device is said. */
  readonly record?: string;
  /** Style sheet of the blues of the print that the page shows; the newest good test's where it shows none. */
  readonly blues?: string;
  /** HTTP status, 200 unless said otherwise. */
  readonly status?: number;
}

/** JSON that can stand inside a script element: no character that could end the element or a line of it. */
export function jsonForScript(value: unknown): string {
  return JSON.stringify(value).replace(
    /[<>&\u2028\u2029]/g,
    (character) => `\\u${character.charCodeAt(0).toString(16).padStart(4, "0")}`,
  );
}

/** What the layout's templates see as `page`. */
interface LayoutView {
  readonly title: string;
  readonly here: string;
  readonly scripts: readonly string[];
  readonly dataJson: string | null;
  readonly record: string | null;
  /** Style sheet of a print's own blues; null where no print tells them. */
  readonly blues: string | null;
  /** The device that looks, when it is not the desk. */
  readonly device: { readonly name: string; readonly role: string } | null;
  /** Last news that the page knows of (src/web/live). */
  readonly newsPlace: string;
  readonly navigation: readonly NavigationPart[];
  /** The part of the house that the page stands in; undefined on the first page. */
  readonly part: NavigationPart | undefined;
  readonly theme: string;
  readonly themeChoices: readonly { readonly value: string; readonly label: string }[];
  /** How numbers, lengths and days are written, for the page's scripts. */
  readonly writing: string;
  readonly path: string;
  readonly version: string;
}

/** Blues of the newest good test, as the pages' routes know them; null outside of these. */
function newestBlues(response: Response): string | null {
  const told: unknown = response.locals["newestBlues"];
  const href: unknown = typeof told === "function" ? told() : null;
  return typeof href === "string" ? href : null;
}

/** Renders `views/<template>.ejs` with `page` (the frame) and `view` (the page's own view object). */
export function renderPage<View extends object>(
  response: Response,
  template: string,
  frame: PageFrame,
  view: View,
): void {
  const request = response.req;
  const wanted = plotWanted(request);
  if (wanted !== null) {
    sendPlot(response, view, wanted).catch(request.next);
    return;
  }
  const page: LayoutView = {
    title: frame.title,
    here: frame.here ?? "",
    scripts: ["site", ...(frame.scripts ?? [])],
    dataJson: frame.data === undefined ? null : jsonForScript(frame.data),
    record: frame.record ?? null,
    blues: frame.blues ?? newestBlues(response),
    device: deviceOf(request) ?? null,
    newsPlace: String(response.locals["newsPlace"] ?? ""),
    navigation,
    part: partOfRoom(frame.here ?? ""),
    theme: themeOf(request),
    themeChoices: themes.map((value) => ({ value, label: themeLabels[value] })),
    writing: writingText(writingNow()),
    path: request.method === "GET" ? request.originalUrl : request.baseUrl + request.path,
    version,
  };
  response.status(frame.status ?? 200).type("html");
  const helpers = {
    jsonForScript,
    svgPlots,
    readablePlot,
    plotTable,
    termNamed,
    cautionWords,
    deferringWords,
    lengthField,
    lengthUnit,
    formatLength,
    formatSize,
    plotLinks: (plot: PlotSpec) => plotLinks(request, plotsIn(view).indexOf(plot)),
  };
  response.render(template, { page, view, ...helpers }, (error: Error | null, html: string) => {
    if (error !== null) request.next?.(error);
    else response.send(page.device?.role === "reader" ? pageForReader(html, page.path.split("?")[0] ?? "") : html);
  });
}
