/** The value of a `datetime-local` field: the phone's own time without an offset. */

export function toLocalField(date: Date): string {
  const two = (value: number) => String(value).padStart(2, "0");
  const day = `${date.getFullYear()}-${two(date.getMonth() + 1)}-${two(date.getDate())}`;
  return `${day}T${two(date.getHours())}:${two(date.getMinutes())}`;
}

export function fromLocalField(text: string): Date | null {
  const date = new Date(text);
  return text === "" || Number.isNaN(date.getTime()) ? null : date;
}
