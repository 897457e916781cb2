// How a journey is counted: what is a press, what is read, and how long hands and eyes take.
//
// A press is a click or tap on the page, a field that is filled (its letters cost time, not presses), or an Enter, a
// Space, a choice by arrows. A list costs two: opening and choosing. What the system's own file dialogue asks is not
// counted. With the keyboard alone the moves of the focus (Tab, arrows) are counted beside the presses and cost time.

/**
 * Silent reading of English non-fiction, words a minute. Source: M. Brysbaert, How many words do we read per minute?
 * J. Memory and Language 109 (2019) 104047.
 */
const readWordsPerMinute = 238;
/** Looking for a word among others, words a minute. Source: R. P. Carver, J. Reading 36 (1992) 84; from memory. */
const scannedWordsPerMinute = 600;

/**
 * Seconds of the hand and of making up one's mind. Source: S. Card, T. Moran, A. Newell, The keystroke-level model for
 * user performance time, Comm. ACM 23 (1980) 396: K of an average non-secretary typist, P, the press of a button, M.
 */
const hand = { key: 0.28, point: 1.1, button: 0.2, mind: 1.35 } as const;

/** What one walk took. */
export interface Tally {
  presses: number;
  /** Moves of the focus by Tab and arrows. */
  moves: number;
  letters: number;
  /** Words of titles, leads, used controls with their hints, and the answer. */
  readWords: number;
  /** Words of headings and buttons passed over on the way to a control. */
  scannedWords: number;
  machineMs: number;
}

export function emptyTally(): Tally {
  return { presses: 0, moves: 0, letters: 0, readWords: 0, scannedWords: 0, machineMs: 0 };
}

/** Most presses to the first answer. */
export const mostPresses = 9;
/** Most seconds of machine and reading to the first answer. */
export const mostSeconds = 60;

/** Seconds that the eyes take. */
function readingSeconds({ readWords, scannedWords }: Tally): number {
  return 60 * (readWords / readWordsPerMinute + scannedWords / scannedWordsPerMinute);
}

/** Seconds of the machine and of the eyes together: what the limit is about. */
export function machineAndReadingSeconds(tally: Tally): number {
  return tally.machineMs / 1000 + readingSeconds(tally);
}

/** Seconds of the hand: it types, points and presses. */
function handSeconds({ presses, moves, letters }: Tally, isByKeyboard: boolean): number {
  const press = isByKeyboard ? hand.key : hand.point + hand.button;
  return presses * (hand.mind + press) + (moves + letters) * hand.key;
}

/** One line of the table that is printed. */
export function tallyLine(name: string, way: string, tally: Tally): string {
  const isByKeyboard = way === "by keyboard";
  const cells = [
    name.padEnd(24),
    way.padEnd(16),
    String(tally.presses).padStart(7),
    (isByKeyboard ? String(tally.moves) : "-").padStart(6),
    (tally.machineMs / 1000).toFixed(1).padStart(8),
    `${tally.readWords}+${tally.scannedWords}`.padStart(9),
    readingSeconds(tally).toFixed(0).padStart(8),
    machineAndReadingSeconds(tally).toFixed(0).padStart(9),
    handSeconds(tally, isByKeyboard).toFixed(0).padStart(6),
  ];
  return cells.join(" ");
}

export const tallyHead = [
  "journey".padEnd(24),
  "walked".padEnd(16),
  "presses",
  " moves",
  "machine s",
  "read+seen",
  "reading s",
  "both s",
  "hand s",
].join(" ");
