/** Every test gets its own empty IndexedDB, and an app in English. */

import "fake-indexeddb/auto";
import { IDBFactory } from "fake-indexeddb";
import { speak, speakInFull } from "@/i18n";
import { close, trouble } from "@/store/open";

beforeEach(async () => {
  await speak("en");
  await speakInFull();
  close();
  trouble.value = null;
  globalThis.indexedDB = new IDBFactory();
});
