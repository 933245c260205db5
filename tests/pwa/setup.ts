/** Every test gets an empty IndexedDB of its own, and an app that speaks English. */

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
