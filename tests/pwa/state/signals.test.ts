import { server, settings, stars, whereabouts } from "@/state/signals";
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

test("what is read again and has not changed stays the same object, so that nothing is ranked or drawn again", async () => {
  await writeFact("position", { latitude: 45.3, longitude: 2.5, accuracy: 20, at: NOW.toISOString() });
  await livePage();
  const seen = () => [settings.value, stars.value, whereabouts.value];
  const before = seen();
  await writeFact("exchange", { succeeded_at: null, tried_at: NOW.toISOString(), trouble: "read_again" });
  await soon(() => expect(server.value.trouble).toBe("read_again"));
  for (const [at, value] of seen().entries()) expect(value).toBe(before[at]);
});
