// The ways through the house: five parts in the order of the work, each with its rooms. A new area of pages is one line
// here.

interface NavigationEntry {
  readonly key: string;
  readonly href: string;
  readonly label: string;
}

export interface NavigationPart extends NavigationEntry {
  /** Shown on every page of the part; the first is the part's own page. */
  readonly rooms: readonly NavigationEntry[];
}

export const navigation: readonly NavigationPart[] = [
  {
    key: "test",
    href: "/tests",
    label: "Test",
    rooms: [
      { key: "tests", href: "/tests", label: "All tests" },
      { key: "first-test", href: "/first-test", label: "Before the first test" },
      { key: "new-test", href: "/tests/new", label: "New test" },
    ],
  },
  {
    key: "print",
    href: "/prints",
    label: "Print",
    rooms: [
      { key: "prints", href: "/prints", label: "Prints" },
      { key: "exposures", href: "/exposures", label: "Exposure lookup" },
      { key: "sun", href: "/sun", label: "By the sun" },
    ],
  },
  {
    key: "compare",
    href: "/comparisons",
    label: "Compare",
    rooms: [{ key: "comparisons", href: "/comparisons", label: "Compare tests" }],
  },
  {
    key: "negative",
    href: "/negatives",
    label: "Negative",
    rooms: [
      { key: "negatives", href: "/negatives", label: "The next negative" },
      { key: "sheets", href: "/sheets", label: "Wedge sheet" },
      { key: "curves", href: "/curves", label: "Kept curves" },
      { key: "printers", href: "/printers", label: "Film printers" },
    ],
  },
  {
    key: "studio",
    href: "/studio",
    label: "Studio",
    rooms: [
      { key: "studio", href: "/studio", label: "Boxes and shelf" },
      { key: "queue", href: "/queue", label: "Who is next" },
      { key: "materials", href: "/materials", label: "Materials" },
      { key: "tablets", href: "/tablets", label: "Tablets" },
      { key: "help", href: "/help", label: "Help" },
    ],
  },
];

/** The part that a page's room belongs to; undefined for the first page and for trouble. */
export function partOfRoom(room: string): NavigationPart | undefined {
  return navigation.find(({ rooms }) => rooms.some(({ key }) => key === room));
}
