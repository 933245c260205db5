/** Waits for what comes by itself, on a machine of any speed. */
export function soon<T>(look: () => T | Promise<T>): Promise<T> {
  return vi.waitFor(look, { timeout: 30_000 });
}
