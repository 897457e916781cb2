// Tables as comma-separated values (RFC 4180).

/** Rows with a heading; texts with commas, quotes or line ends are quoted. */
export function csvText(heading: readonly string[], rows: readonly (readonly (string | number)[])[]): string {
  return [heading, ...rows].map((row) => row.map(csvField).join(",")).join("\r\n") + "\r\n";
}

function csvField(value: string | number): string {
  const text = typeof value === "number" ? String(Math.round(value * 1e6) / 1e6) : value;
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
