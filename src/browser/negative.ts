// The negative page: live preview of positive, film and print, crop by drawing, and making with progress.
import { formatSize, withLengthsInMm } from "#shared/format/length.ts";
import { writtenFixed } from "#shared/format/number.ts";
import { negativeLayout } from "#shared/correction/layout/negative-layout.ts";
import { contrastedShare } from "#shared/correction/negative-tone.ts";
import { millimetresOf } from "#shared/correction/picture-size.ts";
import { negativeRequestFromForm } from "#shared/correction/negative-form.ts";
import { errorInWords } from "#shared/words/trouble-words.ts";
import { linearFromSrgb, srgbFromLinear } from "#shared/density/srgb.ts";
import { offerVersions, type Version } from "./parts/curve-versions.ts";
import { exactView } from "./parts/exact-view.ts";
import { pageData } from "./parts/page-data.ts";
import { pictureOf } from "./parts/chosen-picture.ts";
import { photoPicker } from "./parts/photo-picker.ts";
import { makeWithProgress } from "./parts/negative-maker.ts";

const plenty = "300 dots per inch are plenty on paper, 200 on cloth.";

type Curve = { readonly levels: readonly number[]; readonly colours: readonly (readonly [number, number, number])[] };
/** What the page asks of a request while it is being typed; checked by the server for good. */
interface Sketch {
  readonly widthMm?: number;
  readonly heightMm?: number;
  readonly longSideMm?: number;
  readonly dpi?: number;
  readonly contrast?: number;
  readonly marginMm?: number;
  readonly overlapMm?: number;
  readonly filmWidthMm?: number;
  readonly filmHeightMm?: number | null;
  readonly filmMayTurn?: boolean;
  readonly mirror: boolean;
  readonly invert: boolean;
  readonly caption: boolean;
  readonly registrationMarks: boolean;
  readonly marginStrip: boolean;
  readonly greyWeights: { readonly red: number; readonly green: number; readonly blue: number };
  readonly crop: { readonly x: number; readonly y: number; readonly width: number; readonly height: number };
}

const form = document.querySelector<HTMLFormElement>("[data-negative-form]");
if (form !== null) void arrange(form);

async function arrange(form: HTMLFormElement): Promise<void> {
  const find = <Kind extends HTMLElement>(name: string): Kind => {
    const found = form.querySelector<Kind>(`[${name}]`);
    if (found === null) throw new TypeError(`The page lacks ${name}.`);
    return found;
  };
  const curves = new Map<string, Curve>(Object.entries(pageData<{ curves: Record<string, Curve> }>().curves));
  const photo = find<HTMLInputElement>("data-photo-input");
  const test = form.querySelector<HTMLSelectElement>("select[name=testId]");
  const without = find<HTMLInputElement>("data-without");
  const target = find<HTMLSelectElement>("data-target");
  const version = find<HTMLSelectElement>("name=curveId");
  const curveKey = (): string => `${test?.value ?? ""} ${target.value} ${version.value}`;
  const offered = new Map<string, readonly Version[]>();
  offered.set(
    test?.value ?? "",
    [...version.options].map(({ value, label }) => ({ value, label })),
  );
  let picture: ImageData | null = null;
  let pictureSize = { width: 3, height: 2 };

  const sketch = (): Sketch =>
    negativeRequestFromForm(
      withLengthsInMm(
        Object.fromEntries(
          [...new FormData(form)].filter((entry): entry is [string, string] => typeof entry[1] === "string"),
        ),
      ),
    ) as unknown as Sketch;

  const sayHowLarge = (request: Sketch): void => {
    const words = find("data-size-words");
    try {
      const { dpi = 300 } = request;
      const layout = negativeLayout(
        { marginMm: 0, overlapMm: 10, filmWidthMm: null, filmHeightMm: null, filmMayTurn: false, ...request, dpi },
        pictureSize,
      );
      const mm = (px: number) => Math.round(millimetresOf(px, dpi));
      const size = (of: { widthPx: number; heightPx: number }) => formatSize(mm(of.widthPx), mm(of.heightPx));
      const sheets = layout.pages.length === 1 ? "one sheet" : `${layout.columns} × ${layout.rows} sheets`;
      const page = layout.pages[0]!;
      words.textContent =
        picture === null
          ? plenty
          : `${size(layout)}, ${layout.widthPx} × ${layout.heightPx} dots, ${sheets} of ${size(page)} film. ${plenty}`;
    } catch (error) {
      const said = errorInWords(error);
      words.textContent = said instanceof Error ? said.message : "";
    }
  };

  const draw = (): void => {
    const request = sketch();
    sayHowLarge(request);
    const curve = curves.get(curveKey());
    if (picture === null || curve === undefined) return;
    drawPreview({
      picture,
      request,
      curve,
      corrected: !without.checked,
      positive: find("data-positive"),
      negative: find("data-negative"),
      print: find("data-print"),
    });
  };
  let waiting = 0;
  const drawSoon = (): void => {
    cancelAnimationFrame(waiting);
    waiting = requestAnimationFrame(draw);
  };

  photoPicker(find("data-photo-picker"));
  const takePhoto = async (): Promise<void> => {
    const file = photo.files?.[0];
    const tellSize = (size: { width: number; height: number }): void => {
      pictureSize = size;
    };
    picture = file === undefined ? null : await pictureOf(file, tellSize);
    find("data-preview").hidden = picture === null;
    const noPreview = form.querySelector<HTMLElement>("[data-no-preview]");
    if (noPreview !== null) noPreview.hidden = file === undefined || picture !== null;
    drawSoon();
  };
  photo.addEventListener("change", () => void takePhoto());
  form.addEventListener("input", drawSoon);
  const fetchCurve = async (): Promise<void> => {
    const key = curveKey();
    const id = encodeURIComponent(test?.value ?? "");
    const query = `target=${encodeURIComponent(target.value)}`;
    form
      .querySelector<HTMLAnchorElement>("[data-curve-link]")
      ?.setAttribute("href", `/tests/${id}/correction?${query}`);
    if (!curves.has(key)) {
      const kept = encodeURIComponent(version.value);
      const answer = await fetch(`/negatives/curves/${id}?${query}&curveId=${kept}`, {
        headers: { accept: "application/json" },
      });
      if (answer.ok) {
        const { versions, ...curve } = (await answer.json()) as Curve & { versions: readonly Version[] };
        curves.set(key, curve);
        offered.set(test?.value ?? "", versions);
      }
    }
    offerVersions(version, offered.get(test?.value ?? ""));
    drawSoon();
  };
  test?.addEventListener("change", () => {
    // The versions offered are the other test's.
    version.value = "";
    void fetchCurve();
  });
  target.addEventListener("change", () => void fetchCurve());
  version.addEventListener("change", () => void fetchCurve());
  cropByDrawing(find<HTMLCanvasElement>("data-positive"), (crop) => {
    for (const [name, share] of Object.entries(crop)) {
      const field = form.querySelector<HTMLInputElement>(`input[name=${name}]`);
      if (field !== null) field.value = writtenFixed(share, 1);
    }
    drawSoon();
  });
  for (const slider of form.querySelectorAll<HTMLInputElement>("[data-figured]")) {
    const figure = form.querySelector<HTMLOutputElement>(`output[for=${slider.id}]`);
    const show = (): void => {
      if (figure !== null) figure.value = `${Number(slider.value) > 0 ? "+" : ""}${slider.value} %`;
    };
    slider.addEventListener("input", show);
    show();
  }
  exactView(form);
  makeWithProgress(form, sketch);
  // A quick hand, or a page come back to, has chosen the picture already.
  await takePhoto();
}

const linear = Float64Array.from({ length: 256 }, (_, code) => linearFromSrgb(code / 255));

function drawPreview({
  picture,
  request,
  curve,
  corrected,
  positive,
  negative,
  print,
}: {
  picture: ImageData;
  request: Sketch;
  curve: Curve;
  corrected: boolean;
  positive: HTMLCanvasElement;
  negative: HTMLCanvasElement;
  print: HTMLCanvasElement;
}): void {
  const { red, green, blue } = request.greyWeights;
  const total = red + green + blue || 1;
  const { width, height, data } = picture;
  const grey = new Uint8Array(width * height);
  for (let i = 0; i < grey.length; i++) {
    const light =
      (red * linear[data[4 * i]!]! + green * linear[data[4 * i + 1]!]! + blue * linear[data[4 * i + 2]!]!) / total;
    grey[i] = Math.round(255 * contrastedShare(srgbFromLinear(Math.min(1, Math.max(0, light))), request.contrast ?? 0));
  }
  const whole = { x: 0, y: 0, width, height };
  const left = Math.round(request.crop.x * width);
  const top = Math.round(request.crop.y * height);
  const part = {
    x: left,
    y: top,
    width: Math.max(1, Math.min(width - left, Math.round(request.crop.width * width))),
    height: Math.max(1, Math.min(height - top, Math.round(request.crop.height * height))),
  };
  const isCropped = part.width < width || part.height < height;
  paint(positive, whole, (x, y) => {
    const value = grey[y * width + x]!;
    const isOutside = isCropped && (x < part.x || y < part.y || x >= part.x + part.width || y >= part.y + part.height);
    const shown = isOutside ? Math.round(0.35 * value) : value;
    return [shown, shown, shown];
  });
  paint(negative, part, (x, y) => {
    const from = request.mirror ? part.width - 1 - x : x;
    const level = curve.levels[grey[(y + part.y) * width + from + part.x]!]!;
    const value = Math.round(request.invert ? 255 - level : level);
    return [value, value, value];
  });
  paint(print, part, (x, y) => {
    const value = grey[(y + part.y) * width + x + part.x]!;
    return curve.colours[Math.round(corrected ? curve.levels[value]! : value)]!;
  });
}

function paint(
  canvas: HTMLCanvasElement,
  { width, height }: { width: number; height: number },
  colourAt: (x: number, y: number) => readonly [number, number, number],
): void {
  canvas.width = width;
  canvas.height = height;
  const context = canvas.getContext("2d");
  if (context === null) return;
  const image = context.createImageData(width, height);
  for (let y = 0, i = 0; y < height; y++) {
    for (let x = 0; x < width; x++, i += 4) {
      const [red, green, blue] = colourAt(x, y);
      image.data[i] = red;
      image.data[i + 1] = green;
      image.data[i + 2] = blue;
      image.data[i + 3] = 255;
    }
  }
  context.putImageData(image, 0, 0);
}

/** Drawing a rectangle over the positive crops it; a tap takes the crop away. */
function cropByDrawing(
  canvas: HTMLCanvasElement,
  done: (percent: Record<"cropLeft" | "cropTop" | "cropWidth" | "cropHeight", number>) => void,
): void {
  const place = (event: PointerEvent): { x: number; y: number } => {
    const box = canvas.getBoundingClientRect();
    return {
      x: Math.min(1, Math.max(0, (event.clientX - box.left) / box.width)),
      y: Math.min(1, Math.max(0, (event.clientY - box.top) / box.height)),
    };
  };
  let start: { x: number; y: number } | null = null;
  const tell = (end: { x: number; y: number }): void => {
    if (start === null) return;
    const width = Math.abs(end.x - start.x);
    const height = Math.abs(end.y - start.y);
    if (width < 0.02 || height < 0.02) done({ cropLeft: 0, cropTop: 0, cropWidth: 100, cropHeight: 100 });
    else
      done({
        cropLeft: 100 * Math.min(start.x, end.x),
        cropTop: 100 * Math.min(start.y, end.y),
        cropWidth: 100 * width,
        cropHeight: 100 * height,
      });
  };
  canvas.addEventListener("pointerdown", (event) => {
    start = place(event);
    canvas.setPointerCapture(event.pointerId);
  });
  canvas.addEventListener("pointermove", (event) => tell(place(event)));
  canvas.addEventListener("pointerup", (event) => {
    tell(place(event));
    start = null;
  });
  canvas.addEventListener("pointercancel", () => {
    start = null;
  });
}
