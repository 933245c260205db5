import { server } from "@/state/signals";
import { announce } from "@/store/changes";
import { writeFact } from "@/store/settings";
import { addSource } from "@/store/sources";
import { entry, NOW } from "../helpers/examples";
import { livePage } from "../helpers/page";
import { soon } from "../helpers/soon";

test("a count does not overwrite what became known meanwhile", async () => {
  await livePage();
  expect(server.value.known).toBe(true);
  await addSource(entry(), true, NOW);
  announce("outbox");
  server.value = { ...server.value, busy: true };
  await soon(() => expect(server.value.unsent).toBe(1));
  expect(server.value.busy).toBe(true);
});

test("the status is known once everything is read", async () => {
  await addSource(entry(), true, NOW);
  await writeFact("exchange", { succeeded_at: null, tried_at: NOW.toISOString(), trouble: "no_answer" });
  server.value = { ...server.value, known: false, unsent: 0, trouble: null };
  const seen: (typeof server.value)[] = [];
  const stop = server.subscribe((now) => seen.push(now));
  await livePage();
  stop();
  expect(seen.filter((one) => one.known).map(({ unsent, trouble }) => [unsent, trouble])).toEqual([[1, "no_answer"]]);
});
