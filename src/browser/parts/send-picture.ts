// Sends one picture to the server, which keeps it and looks at it.
import type { PictureShows } from "#shared/reading/chosen-file.ts";

export interface KeptPicture {
  readonly pictureId: string;
  /** Upright [px]. */
  readonly width: number;
  readonly height: number;
  /** What is doubtful about it; null when nothing is. */
  readonly hint: string | null;
}

/**
 * Sends one picture; `progress` gets the share sent, 0-1. Rejects with plain words.
 * @param shows what it should show
 */
export function sendPicture(file: File, shows: PictureShows, progress: (share: number) => void): Promise<KeptPicture> {
  return new Promise((resolve, reject) => {
    const request = new XMLHttpRequest();
    const body = new FormData();
    body.append("photo", file);
    request.open("POST", `/pictures?shows=${shows}`);
    request.setRequestHeader("accept", "application/json");
    request.responseType = "json";
    request.upload.addEventListener("progress", (event) => {
      if (event.lengthComputable) progress(event.loaded / event.total);
    });
    request.upload.addEventListener("load", () => progress(1));
    request.addEventListener("load", () => {
      const answer = request.response as (KeptPicture & { detail?: string }) | null;
      if (request.status === 201 && answer !== null) resolve(answer);
      else reject(new Error(answer?.detail ?? "The answer could not be understood. Nothing is lost: send it again."));
    });
    request.addEventListener("error", () =>
      reject(
        new Error(
          "The server does not answer. Nothing typed is lost: check that Wedgewright is running and send again.",
        ),
      ),
    );
    request.send(body);
  });
}
