// Bodies of requests: forms, and pictures that are none.
import { blueprintDensities, stripFile } from "../support/pictures/strip-picture.ts";
import { fieldNames, oddTexts, type OddValues } from "./odd-values.ts";

export const strip = await stripFile({
  width: 300,
  height: 120,
  corners: [
    [30, 40],
    [270, 40],
    [270, 80],
    [30, 80],
  ],
  densities: blueprintDensities,
});

/** A picture with some bytes changed, cut, doubled or made up. */
function oddPicture({ whole, pick }: OddValues): Buffer {
  const bytes = Buffer.from(strip);
  switch (whole(5)) {
    case 0:
      return bytes.subarray(0, whole(bytes.byteLength));
    case 1:
      for (let n = 0; n < 1 + whole(40); n++) bytes[whole(bytes.byteLength)] = whole(256);
      return bytes;
    case 2:
      // Sizes in the header that the pixels do not bear out.
      bytes.writeUInt32BE(pick([0, 1, 70_000, 0x7fffffff, 0xffffffff, 11_000]), pick([16, 20]));
      return bytes;
    case 3:
      return Buffer.concat([bytes.subarray(0, 60), bytes.subarray(whole(60))]);
    default:
      return Buffer.from(Array.from({ length: whole(2000) }, () => whole(256)));
  }
}

export function formOf(body: Record<string, unknown>): URLSearchParams {
  return new URLSearchParams(
    Object.entries(body).map(([name, value]): [string, string] => [
      name,
      typeof value === "string" ? value : JSON.stringify(value),
    ]),
  );
}

export function multipartOf(odd: OddValues, body: Record<string, unknown>, isPicture: boolean): FormData {
  const { whole, pick } = odd;
  const form = new FormData();
  if (whole(8) > 0)
    form.append(
      pick(["photo", "photo", "photo", "evenLight", "backup", "calibrations"]),
      new Blob([isPicture ? new Uint8Array(oddPicture(odd)) : new Uint8Array(strip)]),
      pick(["a.png", "../a", "", "\u202E.jpg"]),
    );
  form.append("request", whole(10) === 0 ? String(pick(oddTexts)) : JSON.stringify(body));
  for (let n = 0; n < whole(4); n++)
    form.append(pick([...fieldNames, "request[x]", "a[b][c]"]), String(pick(oddTexts)));
  return form;
}
