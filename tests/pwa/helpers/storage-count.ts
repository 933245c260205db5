/** Counts what something asks the storage for: on a slow phone each answer that is waited for takes milliseconds. */

const ASKING = ["get", "getKey", "getAll", "getAllKeys", "count", "add", "put", "delete"];

export interface StorageCount {
  /** The durability of each transaction. */
  transactions: string[];
  requests: number;
  /** Answers waited for one after the other; requests made without waiting in between count as one. */
  inTurn: number;
}

export async function countStorage(act: () => Promise<unknown>): Promise<StorageCount> {
  const count: StorageCount = { transactions: [], requests: 0, inTurn: 0 };
  let answered = 0;
  const noteRequest = (request: IDBRequest) => {
    const turn = answered + 1;
    count.requests += 1;
    count.inTurn = Math.max(count.inTurn, turn);
    request.addEventListener("success", () => {
      answered = Math.max(answered, turn);
    });
  };
  const stops = [IDBObjectStore, IDBIndex].flatMap(({ prototype }) =>
    ASKING.filter((name) => name in prototype).map((name) => follow(prototype, name, noteRequest)),
  );
  const noteTransaction = ({ durability }: IDBTransaction) => count.transactions.push(durability);
  stops.push(follow(IDBDatabase.prototype, "transaction", noteTransaction));
  await act().finally(() => {
    for (const stop of stops) stop();
  });
  return count;
}

/** Calls `note` with each result of a method. Returns a function that stops it. */
function follow<Result>(prototype: object, name: string, note: (result: Result) => void): () => void {
  const original = Reflect.get(prototype, name) as (...args: unknown[]) => Result;
  Reflect.set(prototype, name, function (this: unknown, ...args: unknown[]) {
    const result = original.apply(this, args);
    note(result);
    return result;
  });
  return () => Reflect.set(prototype, name, original);
}
