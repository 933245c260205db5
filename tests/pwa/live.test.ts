import { server, startLive } from "@/live";
import { announce } from "@/store/changes";
import { addSource } from "@/store/sources";
import { entry, NOW } from "./invented";
import { soon } from "./soon";

test("what is counted does not undo what became known while it was counted", async () => {
  await startLive();
  expect(server.value.known).toBe(true);
  await addSource(entry(), true, NOW);
  announce("outbox");
  server.value = { ...server.value, busy: true };
  await soon(() => expect(server.value.unsent).toBe(1));
  expect(server.value.busy).toBe(true);
});
