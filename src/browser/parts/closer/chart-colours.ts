// The colours of the page for a canvas, which knows no style sheet.

export interface ChartColours {
  readonly ink: string;
  readonly grid: string;
  readonly sheet: string;
  readonly series: readonly string[];
  readonly font: string;
}

export function coloursNow(): ChartColours {
  // A token may say two colours, for day and night: only a colour in use is told as the one that counts.
  const probe = document.body.appendChild(document.createElement("span"));
  probe.hidden = true;
  const colour = (name: string): string => {
    probe.style.color = `var(${name})`;
    return getComputedStyle(probe).color;
  };
  const colours = {
    ink: colour("--plot-ink"),
    grid: colour("--plot-grid"),
    sheet: colour("--sheet"),
    series: [1, 2, 3, 4, 5, 6].map((index) => colour(`--series-${index}`)),
    font: getComputedStyle(document.documentElement).getPropertyValue("--type").trim(),
  };
  probe.remove();
  return colours;
}

/** A colour of the theme with an opacity 0-1. */
export function withAlpha(colour: string, alpha: number): string {
  return colour.replace(/^rgb\((.*)\)$/, `rgba($1, ${alpha})`);
}
