/** Saves text as a file on the phone. */

export function saveFile(name: string, type: string, text: string): void {
  saveBlob(name, new Blob([text], { type }));
}

export function saveBlob(name: string, blob: Blob): void {
  const address = URL.createObjectURL(blob);
  const link = document.createElement("a");
  link.href = address;
  link.download = name;
  link.click();
  // The browser reads the URL after this returns.
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
}

/** `splitline-log-2026-03-12.json` */
export function fileName(what: string, now: Date, extension: string): string {
  return `splitline-${what}-${now.toISOString().slice(0, 10)}.${extension}`;
}
