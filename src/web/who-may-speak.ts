// Who may speak to this server: pages of its own, and programs. A page of another site, another port, a sandboxed frame
// or a name that was bent to this machine (DNS rebinding) reads nothing and changes nothing.
import type { Request, RequestHandler } from "express";
import { isIP } from "node:net";
import { hostname } from "node:os";
import { InputError } from "#shared/errors.ts";
import type { Settings } from "#src/settings.ts";

const readingMethods = new Set(["GET", "HEAD", "OPTIONS"]);

/** What a browser says of a request that its own page, or its user, began. Programs send no such header. */
const ownSites = new Set(["same-origin", "none"]);

/**
 * Refuses names that are not this machine's, and whatever a browser says comes from another site.
 * Programs, which send neither `Origin` nor `Sec-Fetch-Site`, are let through.
 * Source: Fetch Standard, "Origin header"; Fetch Metadata Request Headers, section 2.
 */
export function whoMaySpeak({ host, allowedHosts }: Pick<Settings, "host" | "allowedHosts">): RequestHandler {
  const names = new Set([...ownNames(), host.toLowerCase(), ...allowedHosts.map((name) => name.toLowerCase())]);
  return (request, _response, next) => {
    const asked = hostNameOf(request.headers.host);
    if (asked === undefined || !(isIP(asked) > 0 || asked.endsWith(".localhost") || names.has(asked))) {
      throw new InputError(
        "unknown-host",
        "Wedgewright does not answer under this name. Open it by its number, as printed when it starts, or add " +
          "the name to the setting ALLOWED_HOSTS.",
      );
    }
    if (isFromElsewhere(request)) {
      throw new InputError(
        "other-site",
        "This request came from a page of another site, so it was not carried out. Use Wedgewright's own pages.",
      );
    }
    next();
  };
}

/** Names that mean this machine and that no public name server can bend. */
function ownNames(): string[] {
  const own = hostname().toLowerCase();
  const short = own.split(".")[0] ?? own;
  return ["localhost", own, short, `${short}.local`].filter((name) => name !== "");
}

/** The name or number in a `Host` header, without port and brackets, in lower case; undefined when it is not one. */
export function hostNameOf(header: string | undefined): string | undefined {
  // HTTP/1.0 needs none, and no browser speaks it.
  if (header === undefined) return "localhost";
  const [, bracketed, plain] = /^(?:\[([0-9a-f:.]+)\]|([a-z0-9._-]+))(?::\d{1,5})?$/i.exec(header) ?? [];
  return (bracketed ?? plain)?.toLowerCase().replace(/\.$/, "");
}

function isFromElsewhere(request: Request): boolean {
  const site = request.get("sec-fetch-site")?.toLowerCase();
  const isForeignSite = site !== undefined && !ownSites.has(site);
  const isApi = request.path === "/api" || request.path.startsWith("/api/");
  if (readingMethods.has(request.method) && !isApi) return isForeignSite && !isFollowedLink(request);
  return isForeignSite || isForeignOrigin(request);
}

/**
 * A link on another page that leads to one of ours, in a window of its own, is welcome; pictures, frames and scripts
 * are not.
 */
function isFollowedLink(request: Request): boolean {
  return request.get("sec-fetch-mode") === "navigate" && request.get("sec-fetch-dest") === "document";
}

/**
 * `null`, the origin of a sandboxed frame or of a page that hides its address, is not ours: our own pages say where
 * they are.
 */
function isForeignOrigin(request: Request): boolean {
  const origin = request.get("origin");
  if (origin === undefined) return false;
  return !URL.canParse(origin) || new URL(origin).host !== request.get("host")?.toLowerCase();
}
