// What several rooms' forms take, for the document.

/** One picture. */
export const photo = { name: "photo", isRequired: true };

/** Pictures of one print, and one of even light. */
export const printPhotos = [
  { ...photo, isRepeated: true },
  { name: "evenLight", isRequired: false },
];

/** Statuses of trouble with a picture. */
export const pictureTroubles = [413, 415, 422, 503];
