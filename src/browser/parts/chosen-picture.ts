// A chosen picture, upright and small, for the previews: opened by the browser, or by the server where that cannot.

/** Longest side of the preview [px]. */
const previewPx = 640;

type TellSize = (size: { readonly width: number; readonly height: number }) => void;

/** The picture; null when nobody can open it. */
export async function pictureOf(file: File, tellSize: TellSize): Promise<ImageData | null> {
  return (await smallPicture(file, tellSize)) ?? pictureByServer(file, tellSize);
}

/** The picture upright and small; null when the browser cannot decode it. */
async function smallPicture(file: File, tellSize: TellSize): Promise<ImageData | null> {
  try {
    const bitmap = await createImageBitmap(file);
    tellSize({ width: bitmap.width, height: bitmap.height });
    const scale = Math.min(1, previewPx / Math.max(bitmap.width, bitmap.height));
    const canvas = document.createElement("canvas");
    canvas.width = Math.max(1, Math.round(bitmap.width * scale));
    canvas.height = Math.max(1, Math.round(bitmap.height * scale));
    const context = canvas.getContext("2d", { willReadFrequently: true });
    if (context === null) return null;
    context.fillStyle = "#fff";
    context.fillRect(0, 0, canvas.width, canvas.height);
    context.imageSmoothingQuality = "high";
    context.drawImage(bitmap, 0, 0, canvas.width, canvas.height);
    bitmap.close();
    return context.getImageData(0, 0, canvas.width, canvas.height);
  } catch {
    return null;
  }
}

/** The picture as the server shows it, for kinds that the browser cannot open; null when it cannot either. */
async function pictureByServer(file: File, tellSize: TellSize): Promise<ImageData | null> {
  const body = new FormData();
  body.append("photo", file);
  const answer = await fetch("/negatives/small-picture", { method: "POST", body }).catch(() => null);
  if (answer === null || !answer.ok) return null;
  const small = new File([await answer.blob()], "picture.jpg", { type: "image/jpeg" });
  const picture = await smallPicture(small, () => undefined);
  const [width, height] = (answer.headers.get("Wedgewright-Size") ?? "").split(" ").map(Number);
  if (width !== undefined && height !== undefined && width > 0 && height > 0) tellSize({ width, height });
  return picture;
}
