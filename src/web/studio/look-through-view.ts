// What a look through everything found, in plain words, and what to do about each.
import type { BadPicture, LookedThrough } from "#src/store/safekeeping/look-through.ts";

interface Finding {
  readonly words: string;
  readonly todo: string;
  readonly links: readonly { readonly href: string; readonly label: string }[];
}

export interface LookThroughView {
  readonly isWhole: boolean;
  readonly summary: string;
  readonly findings: readonly Finding[];
}

export function lookThroughView(found: LookedThrough): LookThroughView {
  const { records, pictures, pictureBytes, seconds, isSound, unreadable, badPictures, setAside } = found;
  const isWhole = isSound && unreadable.length === 0 && badPictures.length === 0;
  const megabytes = Math.ceil(pictureBytes / 1_000_000);
  return {
    isWhole,
    summary:
      `${records} records and ${pictures} pictures (${megabytes} MB) were read from the disk in ` +
      `${Math.ceil(seconds)} s${isWhole ? ": all of them are whole." : "."}`,
    findings: [
      ...(isSound ? [] : [unsound]),
      ...unreadable.map(({ kind, id }) => ({
        words: `A record (${kind}) cannot be read.`,
        todo: "Go back to an earlier state that still had it (Keep it safe), or restore the last saved file.",
        links: linksTo(kind, id),
      })),
      ...badPictures.map(pictureFinding),
      ...(setAside === 0 ? [] : [asideFinding(setAside)]),
    ],
  };
}

const unsound: Finding = {
  words: "The database is damaged in places.",
  todo: "Save everything as one file now, then restore the last file saved before, and check the disk: it may fail.",
  links: [],
};

function pictureFinding({ what, usedBy }: BadPicture): Finding {
  return {
    words:
      what === "missing"
        ? "The file of a picture is gone."
        : "The file of a picture was changed or damaged: it is not, byte by byte, what was saved.",
    todo:
      "What was measured in it is still here, but it cannot be measured again. " +
      "Restore a saved file that still has it, or take the photo again.",
    links: usedBy.flatMap(({ kind, id }) => linksTo(kind, id)),
  };
}

function asideFinding(count: number): Finding {
  return {
    words: `${count} ${count === 1 ? "file lies" : "files lie"} in the folder "lost" of the data folder.`,
    todo: "They were found beside the pictures and belong to no test. Remove them by hand when nobody misses them.",
    links: [],
  };
}

function linksTo(kind: string, id: string): Finding["links"] {
  if (kind === "tests") return [{ href: `/tests/${id}`, label: "the test" }];
  if (kind === "prints") return [{ href: `/prints/${id}`, label: "the print" }];
  return ["lamps", "supports", "coatings", "films"].includes(kind)
    ? [{ href: `/materials/${kind}/${id}`, label: "the material" }]
    : [];
}
