// The documentation as pages: the markdown of docs/, read once and kept.
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { Marked } from "marked";
import { rootDir } from "#src/settings.ts";

/** The folders that the list shows, in the order of a newcomer's questions. */
export const helpSections = [
  { folder: "tutorial", title: "First steps" },
  { folder: "how-to", title: "How to" },
  { folder: "explanation", title: "Why it works so" },
  { folder: "reference", title: "Look up" },
] as const;

export interface HelpPage {
  /** Address below /help/: "how-to/back-up". */
  readonly path: string;
  readonly title: string;
  readonly html: string;
}

/**
 * A link of one page to another, as it stands in the markdown, as an address of this server.
 * @returns null for a file that the server does not show, such as the source
 */
export function helpAddress(href: string, fromPath: string): string | null {
  if (/^[a-z]+:|^#|^\//i.test(href)) return href;
  const { pathname, hash } = new URL(href, `http://house/docs/${fromPath}`);
  if (!pathname.startsWith("/docs/")) return null;
  const place = pathname.slice("/docs/".length);
  if (place.startsWith("images/")) return `/help/${place}`;
  return place.endsWith(".md") ? `/help/${place.slice(0, -".md".length)}${hash}` : null;
}

function pageFrom(path: string): HelpPage {
  const text = readFileSync(join(rootDir, "docs", `${path}.md`), "utf8");
  const marked = new Marked({
    renderer: {
      link({ href, tokens }) {
        const words = this.parser.parseInline(tokens);
        const address = helpAddress(href, path);
        return address === null ? words : `<a href="${address}">${words}</a>`;
      },
      image({ href, text: words }) {
        return `<img src="${helpAddress(href, path) ?? ""}" alt="${words}">`;
      },
    },
  });
  const title = /^# (.+)$/m.exec(text)?.[1] ?? path;
  const body = text.replace(/^# .+\n/m, "");
  // Wide tables scroll on their own, reached by keyboard too.
  const html = String(marked.parse(body))
    .replaceAll("<table>", '<div class="table-scroll" tabindex="0" role="region" aria-label="Table"><table>')
    .replaceAll("</table>", "</table></div>");
  return { path, title, html };
}

/** All pages by their path. Written by this project, so that their markup is trusted. */
export function readHelpPages(): ReadonlyMap<string, HelpPage> {
  // The decisions are for developers: reached by links, not listed.
  const folders = [...helpSections.map(({ folder }) => folder), "decisions"];
  const paths = folders.flatMap((folder) =>
    readdirSync(join(rootDir, "docs", folder), { recursive: true, encoding: "utf8" })
      .filter((name) => name.endsWith(".md"))
      .map((name) => `${folder}/${name.slice(0, -".md".length).replaceAll("\\", "/")}`)
      .sort(),
  );
  return new Map(paths.map((path) => [path, pageFrom(path)]));
}
