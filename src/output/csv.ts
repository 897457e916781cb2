// Tables as comma-separated values (RFC 4180).

/** Rows with a heading; texts with commas, quotes or line ends are quoted. */
export function csvText(heading: readonly string[], rows: readonly (readonly (string | number)[])[]): string {
  return [heading, ...rows].map((row) => row.map(csvField).join(",")).join("\r\n") + "\r\n";
}

/** A text that a spreadsheet would take for a formula is marked as text. Source: OWASP, "CSV Injection" */
function asText(text: string): string {
  return /^[=+\-@\t\r]/.test(text) ? `'${text}` : text;
}

function csvField(value: string | number): string {
  const text = typeof value === "number" ? String(Math.round(value * 1e6) / 1e6) : asText(value);
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
