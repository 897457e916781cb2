// Why a photogram tells nothing, and what to do.

/** One sentence for each trouble. */
export const photogramTroubleWords = {
  incomplete: "Choose a test with a curve, the number of one of its steps, and the time that the thing was exposed.",
  "start-missing":
    "This test was made in the sun, which is never twice the same: say also when the thing's exposure began, by " +
    "the clock of that place.",
  "no-light": "By the clock of the test's place the thing lay in the dark: check day and time.",
  "too-pale-or-too-deep":
    "There the blue is as pale as paper or as deep as it gets, and says nothing about the thing. Expose it " +
    "for another time, so that its image is a middle blue.",
} as const;
