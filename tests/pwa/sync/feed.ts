/** Changes as a server returns them. */

import type { Change } from "@/records";
import { Client } from "@/sync/client";
import { json, LittleServer } from "./little-server";

/** A server that stores changes in order and returns them two at a time, as the API specifies. */
export class Feed {
  changes: Change[] = [];
  /** The records that the secret's owner gets back as sent. */
  own: Change[] | null = null;
  epoch = "a";
  server!: LittleServer;
  /** What happens on the phone during the next request. */
  before: () => Promise<unknown> = async () => undefined;

  async start(): Promise<Client> {
    this.server = await LittleServer.start(async (seen, response) => {
      const before = this.before;
      this.before = async () => undefined;
      await before();
      const { pathname, searchParams } = new URL(seen.path, "http://x");
      if (pathname === "/api/v1/own") {
        const ids = (searchParams.get("ids") ?? "").split(",");
        json(response, { changes: (this.own ?? this.changes).filter((one) => ids.includes(one.id)) });
        return;
      }
      const cursor = searchParams.get("cursor");
      const [epoch, at] = (cursor ?? `${this.epoch}.0`).split(".");
      if (epoch !== this.epoch) {
        json(response, { code: "cursor_expired", status: 410 }, 410);
        return;
      }
      const left = this.changes.filter((one) => one.sequence > Number(at));
      const page = left.slice(0, 2);
      const last = page.at(-1)?.sequence ?? Number(at);
      json(response, { changes: page, cursor: `${this.epoch}.${last}`, more: left.length > 2 });
    });
    return new Client(this.server.origin);
  }
}
