import { PassThrough, Readable } from "node:stream";
import { finished } from "node:stream/promises";
import { describe, expect, it } from "vitest";
import { InputError } from "#shared/errors.ts";
import { countedBody } from "#src/web/multipart-form.ts";

describe("a body that is counted on its way in", () => {
  const piece = Buffer.alloc(1000);

  async function sent(pieces: number, mostBytes: number): Promise<unknown> {
    let bytes = 0;
    const parser = new PassThrough();
    parser.resume();
    const isOver = (more: number): boolean => (bytes += more) > mostBytes;
    countedBody((more) => (isOver(more) ? new InputError("picture-too-large", "Too much.") : undefined))(
      Readable.from(Array.from({ length: pieces }, () => piece)),
      parser,
    );
    return finished(parser).then(
      () => "whole",
      (error: unknown) => error,
    );
  }

  it("when it keeps within the limit, passes on whole", async () => {
    expect(await sent(5, 5000)).toBe("whole");
  });

  it("when it brings more, without having said how much it is, breaks off with the trouble", async () => {
    expect(await sent(6, 5000)).toMatchObject({ code: "picture-too-large" });
  });
});
