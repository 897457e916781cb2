// The ways through the house, in the order of the work. A new area of pages is one line here.

export interface NavigationEntry {
  readonly key: string;
  readonly href: string;
  readonly label: string;
}

export const navigation: readonly NavigationEntry[] = [
  { key: "new-test", href: "/tests/new", label: "New test" },
  { key: "tests", href: "/tests", label: "Tests" },
  { key: "exposures", href: "/exposures", label: "Exposure lookup" },
  { key: "sun", href: "/sun", label: "Sun" },
  { key: "comparisons", href: "/comparisons", label: "Compare" },
  { key: "negatives", href: "/negatives", label: "Next negative" },
  { key: "prints", href: "/prints", label: "Prints" },
  { key: "sheets", href: "/sheets", label: "Wedge sheet" },
  { key: "studio", href: "/studio", label: "Studio" },
  { key: "materials", href: "/materials", label: "Materials" },
];
