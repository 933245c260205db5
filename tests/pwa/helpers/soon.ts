/** Waits until an expectation holds, long enough for a busy machine. */
export function soon<T>(look: () => T | Promise<T>): Promise<T> {
  return vi.waitFor(look, { timeout: 30_000 });
}
