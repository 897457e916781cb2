// How far this device's clock is from the server's, which wrote down when a step began.

/** Differences below this are the road's and the header's own coarseness. */
const leastMs = 3000;

/** Milliseconds to add to this device's clock; 0 when they agree or the server cannot be asked. */
export async function serverClockOffsetMs(): Promise<number> {
  try {
    const before = Date.now();
    const response = await fetch("/api/health", { cache: "no-store" });
    const then = Date.parse(response.headers.get("date") ?? "");
    // The header counts whole seconds, so on average it is half a second behind.
    const offset = then + 500 - (before + Date.now()) / 2;
    return Number.isFinite(offset) && Math.abs(offset) >= leastMs ? offset : 0;
  } catch {
    return 0;
  }
}
