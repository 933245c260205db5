/** Every test gets an empty IndexedDB of its own. */

import "fake-indexeddb/auto";
import { IDBFactory } from "fake-indexeddb";
import { close, trouble } from "@/store/open";

beforeEach(() => {
  close();
  trouble.value = null;
  globalThis.indexedDB = new IDBFactory();
});
