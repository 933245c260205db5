import { openDB } from "idb";
import { close, DATABASE, run, StorageReplaced, trouble, write } from "@/store/open";
import { loadSettings, saveSettings } from "@/store/settings";
import { STEPS } from "@/store/steps";

describe("opening the database", () => {
  test("reopens unnoticed after the browser closed the connection", async () => {
    await saveSettings({ own_minimum: 80 });
    // What iOS does to a page in the background: the handle remains but is dead.
    await run(async (base) => base.close());
    expect((await loadSettings()).own_minimum).toBe(80);
    await run(async (base) => base.close());
    await saveSettings({ own_minimum: 75 });
    expect((await loadSettings()).own_minimum).toBe(75);
    expect(trouble.value).toBeNull();
  });

  test("fails if a second connection is dead as well", async () => {
    await expect(
      run(async (base) => {
        base.close();
        await base.get("settings", "settings");
      }),
    ).rejects.toThrow();
    expect(trouble.value).toBe("lost");
  });

  test("does not retry other failures", async () => {
    let tries = 0;
    const work = async () => {
      tries += 1;
      throw new RangeError("not the connection");
    };
    await expect(run(work)).rejects.toThrow(RangeError);
    expect(tries).toBe(1);
  });

  test("gives way to a newer version in another tab and asks to reload", async () => {
    await loadSettings();
    const newer = await openDB(DATABASE, STEPS.length + 1);
    expect(trouble.value).toBe("new_tab");
    newer.close();
    // The next request reports the newer version, not a storage fault.
    trouble.value = null;
    await expect(loadSettings()).rejects.toThrow(StorageReplaced);
    expect(trouble.value).toBe("new_tab");
  });
});

describe("a transaction", () => {
  test("that throws half-way leaves nothing", async () => {
    const half = write(["settings"], async (writing) => {
      await writing.objectStore("settings").put({ settle_minutes: 1 }, "settings");
      throw new Error("half-way");
    });
    await expect(half).rejects.toThrow("half-way");
    expect((await loadSettings()).settle_minutes).toBe(10);
  });

  test("survives closing and reopening", async () => {
    await saveSettings({ settle_minutes: 12 });
    close();
    expect((await loadSettings()).settle_minutes).toBe(12);
  });
});
