// What several rooms' forms take, for the document.

/** One picture. */
export const photo = { name: "photo", isRequired: true };

/** Pictures of one print, which an instrument's numbers can stand in for, and one of even light. */
export const printPhotos = [
  { ...photo, isRequired: false, isRepeated: true },
  { name: "evenLight", isRequired: false },
];

/** Statuses of trouble with a picture. */
export const pictureTroubles = [413, 415, 422, 503];
