// The one page that a stranger sees: a field for the code from the desk. It has a frame of its own, which names nothing
// of the studio.
import type { Request, Response } from "express";
import { localPath } from "#src/web/parts/local-path.ts";
import { deviceOf } from "./speaker.ts";

export interface Entry {
  /** Where it leads once the device is in. */
  readonly to: unknown;
  readonly code?: string;
  readonly name?: string;
  readonly problem?: string;
  readonly status: number;
}

/** What a browser calls itself, as the first guess at a device's name. Common practice, no source. */
const kinds: readonly (readonly [RegExp, string])[] = [
  [/iPhone/, "iPhone"],
  [/iPad/, "iPad"],
  [/Android.*Mobile/, "Android phone"],
  [/Android/, "Android tablet"],
  [/Macintosh/, "Mac"],
  [/Windows/, "Windows computer"],
  [/Linux/, "Linux computer"],
];

export function showEntry(request: Request, response: Response, { to, code, name, problem, status }: Entry): void {
  const agent = request.get("user-agent") ?? "";
  const path = localPath(to);
  response
    .status(status)
    .set("Cache-Control", "no-store")
    .type("html")
    .render("devices/enter", {
      view: {
        to: path.startsWith("/enter") ? "/" : path,
        code: code ?? "",
        name: name ?? kinds.find(([pattern]) => pattern.test(agent))?.[1] ?? "",
        problem: problem ?? null,
        // A browser keeps the cookie back when a link of another site led here.
        mayBeKnown: request.get("sec-fetch-site") === "cross-site",
        knownAs: deviceOf(request)?.name ?? null,
      },
    });
}
