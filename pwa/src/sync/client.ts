/** The one HTTP client: a time-out on every request, and every failure as a `Trouble` with a code. */

import type { Problem } from "../records";

/** Why a request failed. */
export type TroubleCode =
  | "no_answer"
  | "too_slow"
  | "not_understood"
  | "not_admitted"
  | "server_fault"
  | "refused"
  | "cursor_expired";

export class Trouble extends Error {
  override name = "Trouble";
  constructor(
    readonly code: TroubleCode,
    readonly status: number | null = null,
    readonly problems: Problem[] = [],
    /** s the server asked us to wait. */
    readonly retryAfter: number | null = null,
    detail = "",
  ) {
    super(detail || code);
  }
}

export interface Request {
  method?: "GET" | "PUT" | "POST";
  /** The path, with its query. */
  path: string;
  body?: BodyInit;
  type?: string;
  secret?: string;
  /** ms */
  patience?: number;
}

/** Status of an internal server error. */
export const FAILED = 500;

const PATIENCE = 30_000;

export class Client {
  /** The server's time, from its last answer. */
  said: string | null = null;

  /** origin: "" for the server that the app came from. */
  constructor(readonly origin: string) {}

  /** A JSON answer. Throws Trouble. */
  json<T>(request: Request): Promise<T> {
    return this.#ask(request, "application/json", (answer) => answer.json() as Promise<T>);
  }

  /** A picture. Throws Trouble. */
  picture(request: Request): Promise<Blob> {
    return this.#ask(request, "image/*", (answer) => answer.blob());
  }

  async #ask<T>(request: Request, accepted: string, read: (answer: Response) => Promise<T>): Promise<T> {
    const headers = new Headers({ Accept: `${accepted}, application/problem+json` });
    if (request.type !== undefined) headers.set("Content-Type", request.type);
    if (request.secret !== undefined) headers.set("Authorization", `Bearer ${request.secret}`);
    const { method = "GET", body, patience = PATIENCE } = request;
    try {
      const answer = await fetch(this.origin + request.path, {
        method,
        headers,
        ...(body === undefined ? {} : { body }),
        // One time-out for head and body together.
        signal: AbortSignal.timeout(patience),
        credentials: "omit",
        cache: "no-store",
        redirect: "error",
      });
      this.said = answer.headers.get("Date");
      if (!answer.ok) throw await troubleOf(answer);
      return await read(answer);
    } catch (fault) {
      throw asTrouble(fault);
    }
  }
}

function asTrouble(fault: unknown): unknown {
  if (fault instanceof Trouble) return fault;
  if (fault instanceof DOMException && fault.name === "TimeoutError") return new Trouble("too_slow");
  if (fault instanceof SyntaxError) return new Trouble("not_understood");
  if (fault instanceof TypeError || fault instanceof DOMException) return new Trouble("no_answer");
  return fault;
}

interface ProblemDocument {
  code?: unknown;
  detail?: unknown;
  problems?: unknown;
}

/** An RFC 9457 document if it is one; a captive portal's page is not. */
async function troubleOf(answer: Response): Promise<Trouble> {
  const found = (await answer.json().catch(() => ({}))) as ProblemDocument | null;
  const problems = Array.isArray(found?.problems) ? (found.problems as Problem[]) : [];
  const detail = typeof found?.detail === "string" ? found.detail : "";
  const code = found?.code === "cursor_expired" ? "cursor_expired" : codeOf(answer.status);
  return new Trouble(code, answer.status, problems, waitOf(answer), detail);
}

function codeOf(status: number): TroubleCode {
  if (status === 401 || status === 403) return "not_admitted";
  if (status === 410) return "cursor_expired";
  if (status === 408) return "too_slow";
  return status >= 500 || status === 429 ? "server_fault" : "refused";
}

/** s; Retry-After is in seconds or, by the server's own clock, a time (RFC 9110). */
function waitOf(answer: Response): number | null {
  const said = answer.headers.get("Retry-After")?.trim() ?? "";
  const seconds = /^\d+$/.test(said) ? Number(said) : (Date.parse(said) - serverTime(answer)) / 1000;
  return Number.isFinite(seconds) ? Math.max(0, seconds) : null;
}

function serverTime(answer: Response): number {
  const said = Date.parse(answer.headers.get("Date") ?? "");
  return Number.isFinite(said) ? said : Date.now();
}
