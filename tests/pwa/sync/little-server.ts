/** A real HTTP server for one test: it records requests and answers as the test says. */

import { createServer, type IncomingMessage, type Server, type ServerResponse } from "node:http";
import type { AddressInfo } from "node:net";

export interface Seen {
  method: string;
  path: string;
  headers: IncomingMessage["headers"];
  body: Buffer;
}

export type Answering = (seen: Seen, response: ServerResponse) => void | Promise<void>;

export class LittleServer {
  readonly seen: Seen[] = [];
  private constructor(
    private readonly server: Server,
    readonly origin: string,
  ) {}

  static async start(answering: Answering, port = 0): Promise<LittleServer> {
    const server = createServer((request, response) => {
      const parts: Buffer[] = [];
      request.on("data", (part: Buffer) => parts.push(part));
      request.on("end", () => {
        const { method = "", url = "", headers } = request;
        const seen = { method, path: url, headers, body: Buffer.concat(parts) };
        little.seen.push(seen);
        void answering(seen, response);
      });
    });
    await new Promise<void>((resolve) => server.listen(port, "127.0.0.1", resolve));
    const little = new LittleServer(server, `http://127.0.0.1:${(server.address() as AddressInfo).port}`);
    return little;
  }

  async stop(): Promise<void> {
    this.server.closeAllConnections();
    await new Promise((resolve) => this.server.close(resolve));
  }
}

export function json(response: ServerResponse, body: unknown, status = 200, headers: Record<string, string> = {}) {
  const type = status < 400 ? "application/json" : "application/problem+json";
  response.writeHead(status, { "Content-Type": type, ...headers }).end(JSON.stringify(body));
}
