// Keeps pages on several devices up to date: one stream of server-sent events for each page that is being looked at.
// Source: WHATWG HTML Living Standard, "Server-sent events".
import type { Response } from "express";
import { randomBytes } from "node:crypto";
import { InputError } from "#shared/errors.ts";
import type { News, NewsReader } from "#src/store/news.ts";

export interface HubOptions {
  /** Most streams at once, for all and for one listener (a device, or an address). */
  readonly most?: number;
  readonly mostForOne?: number;
  /** A line goes out at least this often, so that a phone that went away is noticed. */
  readonly heartbeatMs?: number;
}

export interface Hub {
  /**
   * Answers with a stream that stays open.
   * @param seen last event that the listener had, as its `id` said; null at its first visit
   * @param owner whose stream it is: a device's id, or an address
   * @param isAtDesk only the desk hears of devices
   * @throws InputError "busy" when too many listen
   */
  attach(
    response: Response,
    listener: { readonly owner: string; readonly isAtDesk: boolean; readonly seen: string | null },
  ): void;
  readonly size: number;
  /** Where the news stand now, as the `id` of an event says it. */
  readonly place: string;
}

/** A listener that takes nothing for so long that this much waits for it is let go; it comes back by itself [bytes]. */
const mostWaitingBytes = 64 * 1024;
/** How long a page waits before it asks again after a break. */
const retryMs = 3000;

interface Stream {
  readonly owner: string;
  readonly isAtDesk: boolean;
  readonly response: Response;
}

export function liveHub(news: NewsReader, { most = 200, mostForOne = 24, heartbeatMs = 20_000 }: HubOptions = {}): Hub {
  // Numbers count from 1 in each run of the server; this tells the runs apart.
  const run = randomBytes(6).toString("base64url");
  const streams = new Set<Stream>();
  let heartbeat: NodeJS.Timeout | undefined;

  function write(stream: Stream, text: string): void {
    if (stream.response.writableLength > mostWaitingBytes) return drop(stream);
    stream.response.write(text);
  }

  function drop(stream: Stream): void {
    streams.delete(stream);
    if (!stream.response.writableEnded) stream.response.end();
    // What does not take the end either is closed all the same.
    if (stream.response.writableLength > 0) stream.response.destroy();
    if (streams.size > 0) return;
    clearInterval(heartbeat);
    heartbeat = undefined;
  }

  const concerns = ({ kind }: News, { isAtDesk }: Pick<Stream, "isAtDesk">): boolean => isAtDesk || kind !== "devices";
  const lineOf = ({ number, ...rest }: News): string => `id: ${run}-${number}\ndata: ${JSON.stringify(rest)}\n\n`;

  /** What a listener missed. One that was away too long, or since before this start, is told to look at everything. */
  function missedLines(seen: string | null, listener: Pick<Stream, "isAtDesk">): string {
    const here = `id: ${run}-${news.newest}\n`;
    if (seen === null) return `${here}event: ready\ndata: {}\n\n`;
    const number = seen.startsWith(`${run}-`) ? Number(seen.slice(run.length + 1)) : Number.NaN;
    const missed = Number.isInteger(number) ? news.since(number) : undefined;
    if (missed === undefined) return `${here}data: {"kind":"everything","id":null,"what":"saved"}\n\n`;
    return `${here}event: ready\ndata: {}\n\n${missed
      .filter((each) => concerns(each, listener))
      .map(lineOf)
      .join("")}`;
  }

  news.listen({
    hear(each) {
      for (const stream of [...streams]) if (concerns(each, stream)) write(stream, lineOf(each));
      // A device that was shut out hears nothing more.
      if (each.kind === "devices" && each.what === "removed")
        [...streams].filter(({ owner }) => owner === each.id).forEach(drop);
    },
    end: () => [...streams].forEach(drop),
  });

  return {
    attach(response, { owner, isAtDesk, seen }) {
      const own = [...streams].filter((stream) => stream.owner === owner).length;
      if (streams.size >= most || own >= mostForOne)
        throw new InputError("busy", "Too many pages are being kept up to date at once: close some and try again.");
      const stream = { owner, isAtDesk, response };
      streams.add(stream);
      response.status(200).set({
        "Content-Type": "text/event-stream; charset=utf-8",
        "Cache-Control": "no-store",
        "X-Accel-Buffering": "no",
      });
      response.once("close", () => drop(stream));
      response.write(`retry: ${retryMs}\n${missedLines(seen, stream)}`);
      heartbeat ??= setInterval(() => [...streams].forEach((each) => write(each, ": here\n\n")), heartbeatMs).unref();
    },
    get size() {
      return streams.size;
    },
    get place() {
      return `${run}-${news.newest}`;
    },
  };
}
